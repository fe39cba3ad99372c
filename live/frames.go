package live

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/bep/imagemeta"
)

// TimeBy says where the times of pictures come from.
type TimeBy string

// The sources of times, from best to worst.
const (
	ByEXIF     TimeBy = "the camera's own time (EXIF)"
	ByFileName TimeBy = "the names of the files"
	ByModified TimeBy = "when the files were last changed" // copying may spoil it
)

// Frame is one picture of a folder.
type Frame struct {
	Path        string
	Time        float64 // Unix s
	Orientation int     // of EXIF: 1 to 8, how the picture is to be turned; 1 as stored
}

// Frames lists the pictures of a folder (JPEG and PNG) by their times. by
// chooses where those come from; "" takes the best that all pictures have.
// Times without a zone are in the zone given. The second result is what was
// taken. Pictures of the same second are spread over it in the order of their
// names.
func Frames(folder string, by TimeBy, zone *time.Location) ([]Frame, TimeBy, error) {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil, "", err
	}
	var found []dated
	for _, e := range entries {
		switch strings.ToLower(filepath.Ext(e.Name())) {
		case ".jpg", ".jpeg", ".png":
		default:
			continue
		}
		if e.IsDir() || strings.HasPrefix(e.Name(), ".") {
			continue
		}
		d, err := date(filepath.Join(folder, e.Name()), e, zone)
		if err != nil {
			return nil, "", err
		}
		found = append(found, d)
	}
	if len(found) == 0 {
		return nil, "", ErrNoPictures
	}
	for _, way := range []TimeBy{ByEXIF, ByFileName, ByModified} {
		lacking := slices.IndexFunc(found, func(d dated) bool { return d.times[way] == 0 })
		switch {
		case by != "" && by != way:
		case lacking < 0:
			return inOrder(found, way), way, nil
		case by == way:
			return nil, "", fmt.Errorf("%s has no time by %s", found[lacking].Path, way)
		}
	}
	return nil, "", fmt.Errorf("no such source of times: %q", by)
}

// ErrNoPictures is the error of a folder without pictures.
var ErrNoPictures = errors.New("no picture (.jpg, .jpeg, .png) in the folder")

// dated is a picture with every time it offers; 0: none.
type dated struct {
	Frame
	times map[TimeBy]float64
}

func date(path string, e fs.DirEntry, zone *time.Location) (dated, error) {
	info, err := e.Info()
	if err != nil {
		return dated{}, err
	}
	d := dated{Frame{Path: path, Orientation: 1}, map[TimeBy]float64{ByModified: unixSeconds(info.ModTime())}}
	if t, ok := nameTime(e.Name(), zone); ok {
		d.times[ByFileName] = t
	}
	f, err := os.Open(path)
	if err != nil {
		return dated{}, err
	}
	defer f.Close()
	tags := readTags(f, path)
	if t, ok := exifTime(tags, zone); ok {
		d.times[ByEXIF] = t
	}
	if n, err := strconv.Atoi(tags["Orientation"]); err == nil && n >= 1 && n <= 8 {
		d.Orientation = n
	}
	return d, nil
}

func unixSeconds(t time.Time) float64 { return float64(t.UnixMicro()) / 1e6 }

func inOrder(found []dated, by TimeBy) []Frame {
	out := make([]Frame, len(found))
	for i, d := range found {
		out[i] = d.Frame
		out[i].Time = d.times[by]
	}
	slices.SortStableFunc(out, func(a, b Frame) int {
		return cmp.Or(cmp.Compare(a.Time, b.Time), strings.Compare(a.Path, b.Path))
	})
	for i := 0; i < len(out); {
		j := i
		for j < len(out) && out[j].Time == out[i].Time {
			j++
		}
		for k := i + 1; k < j; k++ {
			out[k].Time += float64(k-i) / float64(j-i)
		}
		i = j
	}
	// Times with fractions may overtake a second that was spread.
	slices.SortStableFunc(out, func(a, b Frame) int { return cmp.Compare(a.Time, b.Time) })
	return out
}

// The tags that matter: JEITA CP-3451, Exif 2.31, tables 4 to 8.
var wanted = []string{"DateTimeOriginal", "SubSecTimeOriginal", "OffsetTimeOriginal", "DateTime", "Orientation"}

// readTags reads what a camera wrote beside the picture. A picture without
// any, or with broken ones, has none.
func readTags(f *os.File, path string) map[string]string {
	tags := map[string]string{}
	format := imagemeta.JPEG
	if strings.EqualFold(filepath.Ext(path), ".png") {
		format = imagemeta.PNG
	}
	_, err := imagemeta.Decode(imagemeta.Options{
		R: f, ImageFormat: format, Sources: imagemeta.EXIF, Timeout: 5 * time.Second,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { return slices.Contains(wanted, t.Tag) },
		HandleTag: func(t imagemeta.TagInfo) error {
			if _, seen := tags[t.Tag]; !seen {
				tags[t.Tag] = strings.TrimSpace(fmt.Sprint(t.Value))
			}
			return nil
		},
	})
	if err != nil {
		return map[string]string{}
	}
	return tags
}

const exifLayout = "2006:01:02 15:04:05"

func exifTime(tags map[string]string, zone *time.Location) (float64, bool) {
	text := tags["DateTimeOriginal"]
	if text == "" {
		text = tags["DateTime"]
	}
	t, err := time.ParseInLocation(exifLayout, text, zone)
	if offset := tags["OffsetTimeOriginal"]; offset != "" && tags["DateTimeOriginal"] != "" {
		if there, e := time.Parse(exifLayout+"Z07:00", text+offset); e == nil {
			t, err = there, nil
		}
	}
	if err != nil {
		return 0, false
	}
	part, err := strconv.ParseFloat("0."+tags["SubSecTimeOriginal"], 64)
	if err != nil || tags["SubSecTimeOriginal"] == "" || tags["DateTimeOriginal"] == "" {
		part = 0
	}
	return float64(t.Unix()) + part, true
}

var (
	dateInName  = regexp.MustCompile(`(?:^|[^0-9])((?:19|20)[0-9]{2})[-_.]?([01][0-9])[-_.]?([0-3][0-9])[-_. T]*([0-2][0-9])[-_.h]?([0-5][0-9])[-_.m]?([0-5][0-9])(?:[.,_-]?([0-9]{1,6}))?(?:[^0-9]|$)`)
	epochInName = regexp.MustCompile(`(?:^|[^0-9])([12][0-9]{9})(?:[0-9]{3}|\.[0-9]+)?(?:[^0-9]|$)`)
)

// nameTime finds a date and time of day, or Unix seconds or milliseconds, in
// the name of a file.
func nameTime(name string, zone *time.Location) (float64, bool) {
	name = strings.TrimSuffix(name, filepath.Ext(name))
	if m := dateInName.FindStringSubmatch(name); m != nil {
		t, err := time.ParseInLocation("20060102150405", strings.Join(m[1:7], ""), zone)
		if err == nil {
			part := 0.0
			if len(m[7]) == 3 || len(m[7]) == 6 { // thousandths or millionths; others count pictures
				part, _ = strconv.ParseFloat("0."+m[7], 64) // digits only
			}
			return float64(t.Unix()) + part, true
		}
	}
	if m := epochInName.FindStringSubmatchIndex(name); m != nil {
		text := strings.Trim(name[m[0]:m[1]], "_- ")
		digits := strings.TrimFunc(text, func(r rune) bool { return r < '0' || r > '9' })
		if len(digits) == 13 && !strings.Contains(digits, ".") {
			digits = digits[:10] + "." + digits[10:]
		}
		if t, err := strconv.ParseFloat(digits, 64); err == nil {
			return t, true
		}
	}
	return 0, false
}
