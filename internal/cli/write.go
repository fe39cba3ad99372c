package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// writeFile writes a file as a whole or not at all: beside its place first,
// then renamed. A file that is replaced hands on its permissions. What is no regular file (a device, a pipe) is written to
// directly, since renaming would replace it.
func writeFile(name string, data []byte) error { return writeFileMode(name, data, 0o644) }

// writeFileMode is writeFile with the permissions of a new file.
func writeFileMode(name string, data []byte, mode fs.FileMode) error {
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target // keep the link, replace what it points to
	}
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			return writeInto(name, data)
		}
		mode = info.Mode().Perm()
	}
	beside, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".part-*")
	if err != nil {
		return cannotWrite(name, err)
	}
	_, err = beside.Write(data)
	err = errors.Join(err, beside.Chmod(mode), beside.Close())
	if err == nil {
		err = os.Rename(beside.Name(), name)
	}
	if err != nil {
		os.Remove(beside.Name()) // the first error is the one to tell
		return cannotWrite(name, err)
	}
	return nil
}

func writeInto(name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return cannotWrite(name, err)
	}
	_, err = f.Write(data)
	if err = errors.Join(err, f.Close()); err != nil {
		return cannotWrite(name, err)
	}
	return nil
}

// cannotWrite words why a file cannot be written.
func cannotWrite(name string, err error) error {
	folder := filepath.Dir(name)
	switch info, statErr := os.Stat(name); {
	case statErr == nil && info.IsDir():
		return wrong("the name of a file, such as "+filepath.Join(name, "design.yaml"), "%s is a folder", quoted(name))
	case errors.Is(err, fs.ErrNotExist):
		return wrong("make the folder first", "there is no folder %s", quoted(folder))
	case errors.Is(err, syscall.ENOTDIR):
		return wrong("a folder, or another place", "%s is no folder", quoted(folder))
	}
	return failed("", "cannot write %s: %v", quoted(name), plainCause(err))
}

// plainCause strips the temporary name from an error.
func plainCause(err error) error {
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return cause(err)
}

// makeFolder makes a folder and those above it, and tries whether files can
// be made in it: better now than after the computing.
func makeFolder(folder string) error {
	if folder == "" {
		return wrong("the name of a folder", "the name of the folder is empty")
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		if errors.Is(err, syscall.ENOTDIR) {
			return wrong("the name of a folder, new or old", "%s is no folder: a file stands in the way", quoted(folder))
		}
		return failed("a folder that you may write to", "cannot make the folder %s: %v", quoted(folder), cause(err))
	}
	probe, err := os.CreateTemp(folder, ".meltspan-*")
	if err != nil {
		return failed("a folder that you may write to", "cannot write in the folder %s: %v", quoted(folder), cause(err))
	}
	if err := errors.Join(probe.Close(), os.Remove(probe.Name())); err != nil {
		return fmt.Errorf("trying the folder %s: %w", quoted(folder), err)
	}
	return nil
}
