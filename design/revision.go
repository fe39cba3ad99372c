package design

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"meltspan/quantity"
)

// Revision names what the design means, in 12 hexadecimal digits: all values
// in SI with their spreads, defaults and material values included, and the
// words and counts that have a bearing. Name, note, comments, spelling and
// units make no difference, nor does it matter whether a value was stated or
// defaulted, nor how it is printed unless that shapes the part. Numbers count to nine digits, so that 80 mm is 8 cm.
func (d *Design) Revision() string {
	hash := sha256.New()
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 9, 64) }
	d.eachInUse(func(path string, f *field, v reflect.Value) {
		if path == "name" || path == "note" || path == "meltspan" || path == "room.log" {
			return
		}
		inPrint := strings.HasPrefix(path, "print.")
		switch f.shape {
		case shapeQuantity:
			val := v.Interface().(quantity.Value)
			if val.Present() && !(inPrint && usualPrint(path, f, val)) {
				fmt.Fprintf(hash, "%s=%s,%s\n", path, number(val.SI), number(val.Spread))
			}
		case shapeOptional:
			fmt.Fprintf(hash, "%s=%t\n", path, !v.IsNil())
		case shapeText, shapeCount, shapeTruth:
			if inPrint {
				return
			}
			fmt.Fprintf(hash, "%s=%q\n", path, fmt.Sprint(v.Interface()))
		}
	})
	for _, row := range d.Room.Series {
		fmt.Fprintf(hash, "room=%s,%s,%s\n", number(row.Time), number(row.Temperature), number(row.Humidity))
	}
	return hex.EncodeToString(hash.Sum(nil)[:6])
}
