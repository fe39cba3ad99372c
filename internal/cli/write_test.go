package cli

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"meltspan/quantity"
	"meltspan/record"
	"meltspan/report"
)

// listed names what is in a folder.
func listed(t *testing.T, folder string) string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return strings.Join(names, " ")
}

func TestWriteFileReplacesAndLeavesNothingBeside(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	name := filepath.Join(folder, "a.svg")
	for _, text := range []string{"first, and longer", "second"} {
		if err := writeFile(name, []byte(text)); err != nil {
			t.Fatal(err)
		}
		if got, err := os.ReadFile(name); err != nil || string(got) != text {
			t.Errorf("%q, %v", got, err)
		}
	}
	if names := listed(t, folder); names != "a.svg" {
		t.Errorf("the folder holds %s", names)
	}
}

func TestWriteFileKeepsALink(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	target, link := filepath.Join(folder, "target"), filepath.Join(folder, "link")
	if err := os.WriteFile(target, []byte("old"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no symbolic links here: ", err)
	}
	if err := writeFile(link, []byte("new")); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile(target); err != nil || string(got) != "new" {
		t.Errorf("the target holds %q, %v", got, err)
	}
	info, err := os.Stat(target)
	if err != nil {
		t.Fatal(err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm() != 0o600 {
		t.Errorf("the target's permissions changed to %v", info.Mode())
	}
	if info, err := os.Lstat(link); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Error("the link is gone")
	}
}

func TestWriteFileSparesDevices(t *testing.T) {
	t.Parallel()
	if runtime.GOOS == "windows" {
		t.Skip("the null device has no path there")
	}
	if err := writeFile(os.DevNull, []byte("x")); err != nil {
		t.Fatal(err)
	}
	if info, err := os.Stat(os.DevNull); err != nil || info.Mode().IsRegular() {
		t.Fatal("the null device was replaced by a file")
	}
}

func TestWriteFileFailsWhole(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	inTheWay := filepath.Join(folder, "folder")
	if err := os.Mkdir(inTheWay, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{inTheWay, filepath.Join(folder, "gone", "a.svg")} {
		var f *fault
		if err := writeFile(name, []byte("x")); !errors.As(err, &f) || f.code != exitBadInput {
			t.Errorf("%s: %v", name, err)
		}
	}
	if names := listed(t, folder); names != "folder" {
		t.Errorf("the folder holds %s", names)
	}
}

func TestPictureWithNothingToShowIsLeftOut(t *testing.T) {
	t.Parallel()
	var errOut strings.Builder
	s := &session{err: &errOut}
	folder := t.TempDir()
	err := s.writePictures(folder, []record.Picture{{File: "band", Draw: func(quantity.Display) (*report.Picture, error) {
		return nil, errors.New("report: nothing to draw")
	}}})
	if err != nil || errOut.String() != "no picture band: nothing to draw\n" || listed(t, folder) != "" {
		t.Errorf("%v, %q, %q", err, errOut.String(), listed(t, folder))
	}
}
