package record

import (
	"context"
	"math"

	"meltspan/calibrate/demo"
	"meltspan/notebook"
)

// Examples puts the invented trials that come with the program into a
// notebook, with their designs and logs.
func Examples(ctx context.Context, n *notebook.Notebook) error {
	for _, name := range demo.Names() {
		c, err := demo.Find(name)
		if err != nil {
			return err
		}
		c.Trial.Start = math.NaN() // it never took place
		c.Trial.Note = "Invented: nobody has built or run it."
		var files []notebook.File
		for _, log := range c.Logs {
			files = append(files, notebook.File{Attachment: notebook.Attachment{Name: log.Name, Note: "invented", Time: math.NaN()}, Data: log.Text})
		}
		if _, err := Create(ctx, n, Design{Design: c.Design, File: c.File, Text: c.Text}, *c.Trial, files...); err != nil {
			return err
		}
	}
	return nil
}
