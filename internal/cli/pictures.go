package cli

import (
	"path/filepath"
	"strings"

	"meltspan/record"
)

// writePictures draws pictures and writes each as SVG and PNG into a folder,
// and says what it wrote. A picture that has nothing to show is left out.
func (s *session) writePictures(folder string, pictures []record.Picture) error {
	var written []string
	for _, p := range pictures {
		drawn, err := p.Draw(s.units)
		if err != nil {
			s.note("no picture %s: %s", p.File, strings.TrimPrefix(err.Error(), "report: "))
			continue
		}
		for _, form := range []struct {
			ending string
			encode func() ([]byte, error)
		}{{".svg", drawn.SVG}, {".png", drawn.PNG}} {
			data, err := form.encode()
			if err != nil {
				return err
			}
			if err := writeFile(filepath.Join(folder, p.File+form.ending), data); err != nil {
				return err
			}
			written = append(written, p.File+form.ending)
		}
	}
	if len(written) > 0 {
		s.note("wrote into %s: %s", folder, strings.Join(written, ", "))
	}
	return nil
}
