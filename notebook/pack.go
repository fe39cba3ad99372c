package notebook

import (
	"encoding/binary"
	"fmt"
	"math"

	"meltspan/trial"
)

// Samples are kept packed, since a log of a million rows would take SQLite
// far longer row by row. A sample is 17 bytes: time and value as IEEE 754
// binary64, little-endian, then the number of its mark in marks.
const sampleBytes = 17

// blockSamples is the most samples in one block.
const blockSamples = 4096

// tailSamples is how far the last block of a live log is added to before a
// new one is begun: a commit writes whole pages of 4096 bytes anyway.
const tailSamples = 200

// marks are numbered by their place here. Only ever add at the end.
var marks = []trial.Mark{trial.Good, trial.Fault, trial.Missing, trial.Repeated, trial.Disordered, trial.Excluded}

// pack appends samples to data. A value that is not a number has one form
// only, so that equal samples are equal bytes.
func pack(data []byte, samples []trial.Sample) ([]byte, error) {
	for _, s := range samples {
		if math.IsNaN(s.Time) || math.IsInf(s.Time, 0) {
			return nil, fmt.Errorf("a sample has the time %v", s.Time)
		}
		value := s.Value
		if math.IsNaN(value) {
			value = math.NaN()
		}
		mark := -1
		for i, m := range marks {
			if m == s.Mark {
				mark = i
				break
			}
		}
		if mark < 0 {
			return nil, fmt.Errorf("a sample bears the mark %q, which is none", s.Mark)
		}
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(s.Time))
		data = binary.LittleEndian.AppendUint64(data, math.Float64bits(value))
		data = append(data, byte(mark))
	}
	return data, nil
}

// unpack appends the samples of a block to out.
func unpack(out []trial.Sample, data []byte) ([]trial.Sample, error) {
	if len(data)%sampleBytes != 0 {
		return nil, fmt.Errorf("a block of samples has %d bytes, which is no multiple of %d: the notebook is damaged", len(data), sampleBytes)
	}
	for ; len(data) > 0; data = data[sampleBytes:] {
		if int(data[16]) >= len(marks) {
			return nil, fmt.Errorf("a sample bears the mark number %d, which is none: the notebook is damaged", data[16])
		}
		out = append(out, trial.Sample{
			Time:  math.Float64frombits(binary.LittleEndian.Uint64(data)),
			Value: math.Float64frombits(binary.LittleEndian.Uint64(data[8:])),
			Mark:  marks[data[16]],
		})
	}
	return out, nil
}
