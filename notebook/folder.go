package notebook

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"unicode"

	"meltspan/trial"
)

// The files of an exported notebook. What they are called is for people to
// find their way; what counts stands in the JSON files.
//
//	notebook.json                     what there is
//	designs/0001-REVISION.yaml        a design, as written
//	designs/0001-REVISION-room.csv    the room log that it names
//	trials/0001/trial.json            set-up, events, and the files below
//	trials/0001/series-01.csv         time_s,value_UNIT,mark; SI
//	trials/0001/files/01-NAME         an attachment
//	results/0001.json                 a result
const (
	indexFile    = "notebook.json"
	folderFormat = 1
)

type folderIndex struct {
	Format  int            `json:"meltspan_notebook"`
	Designs []folderDesign `json:"designs"`
	Trials  []string       `json:"trials"` // their files
	Results []string       `json:"results"`

	// Of those that were taken out, the highest numbers.
	LastTrial  int64 `json:"last_trial,omitempty"`
	LastResult int64 `json:"last_result,omitempty"`
}

type folderDesign struct {
	Design
	SHA256 string `json:"sha256"` // over file, text, log_file and log text
	Path   string `json:"path"`
	Log    string `json:"log_path,omitempty"`
}

type folderTrial struct {
	Number      int64              `json:"number"`
	Name        string             `json:"name"`
	Kind        trial.Kind         `json:"kind"`
	Design      string             `json:"design,omitempty"`
	Revision    string             `json:"revision,omitempty"`
	Start       *float64           `json:"start_unix_s"`
	Zone        string             `json:"zone,omitempty"`
	Created     float64            `json:"created_unix_s"`
	Note        string             `json:"note,omitempty"`
	Settings    []trial.Setting    `json:"settings"`
	Events      []trial.Event      `json:"events"`
	Series      []folderSeries     `json:"series"`
	Attachments []folderAttachment `json:"attachments"`
}

type folderSeries struct {
	Quantity    trial.Quantity `json:"quantity"`
	Place       string         `json:"place,omitempty"`
	Source      string         `json:"source,omitempty"`
	Uncertainty float64        `json:"uncertainty,omitempty"`
	Emissivity  float64        `json:"emissivity,omitempty"`
	Samples     int            `json:"samples"`
	Path        string         `json:"path"`
}

type folderAttachment struct {
	Name  string   `json:"name"`
	Hash  string   `json:"sha256"`
	Bytes int64    `json:"bytes"`
	Time  *float64 `json:"time_s"`
	Note  string   `json:"note,omitempty"`
	Added float64  `json:"added_unix_s"`
	Path  string   `json:"path"`
}

// toJSON writes JSON in one form: indented, without escapes that people
// would stumble over.
func toJSON(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// known is a number, or nil for one that is not known.
func known(x float64) *float64 {
	if math.IsNaN(x) {
		return nil
	}
	return &x
}

func orUnknown(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// safeName makes a name that every file system takes and that stays in its
// folder.
func safeName(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < unicode.MaxASCII && (unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' || r == '-') {
			return r
		}
		return '_'
	}, name)
	if len(name) > 80 {
		name = name[len(name)-80:]
	}
	return strings.TrimRight(name, ".") // Windows drops dots at the end
}

// unitOf is the SI unit of a quantity's values, for the heads of columns.
func unitOf(q trial.Quantity) string {
	switch q {
	case trial.Humidity:
		return "1"
	case trial.Speed:
		return "per_s"
	case trial.Weight:
		return "kg"
	case trial.HeaterPower:
		return "W"
	}
	return "K"
}

func seriesHead(q trial.Quantity) string { return fmt.Sprintf("time_s,value_%s,mark", unitOf(q)) }
