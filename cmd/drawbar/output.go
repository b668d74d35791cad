package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"drawbar/route/geofile"
)

// Outputs that are refused.
var (
	errSameFile = errors.New("output is also an input")
	errNotOurs  = errors.New("there is such a file already, and drawbar did not write it")
)

// target is where an output will stand once it is complete.
type target struct {
	path string      // links followed
	mode os.FileMode // of the file it replaces, 0 for a new one
}

// targetOf looks at the place of an output before anything is computed. It
// refuses a file that drawbar did not write, one among the inputs, one that may
// not be written, and a folder, device or pipe, which a rename would replace.
func targetOf(path string, inputs []string) (target, error) {
	return targetThat(path, inputs, geofile.WrittenHere)
}

// targetThat is targetOf for a file that ours knows as written by drawbar.
func targetThat(path string, inputs []string, ours func(io.Reader) bool) (target, error) {
	if path == "-" {
		return target{}, errors.New("name a file to write: standard output carries the report")
	}
	t := target{path: path}
	if end, err := filepath.EvalSymlinks(path); err == nil {
		t.path = end
	} else if link, err := os.Lstat(path); err == nil && link.Mode()&os.ModeSymlink != 0 {
		return t, fmt.Errorf("%s is a link to nowhere: name another file", path)
	}
	info, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return t, nil
	}
	if err != nil {
		return t, fmt.Errorf("write %s: %w", path, err)
	}
	if t.mode = info.Mode(); !t.mode.IsRegular() {
		return t, fmt.Errorf("%s is no regular file: name another", path)
	}
	for _, in := range inputs {
		if i, err := os.Stat(in); err == nil && os.SameFile(info, i) {
			return t, fmt.Errorf("%s: %w: name another file", path, errSameFile)
		}
	}
	if t.mode.Perm()&0o200 == 0 { // asked of the mode: root may open it all the same
		return t, fmt.Errorf("%s is write-protected: name another file", path)
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return t, fmt.Errorf("write %s: %w", path, err)
	}
	defer f.Close()
	if info.Size() > 0 && !ours(f) {
		return t, fmt.Errorf("%s: %w: name another, or remove it first", path, errNotOurs)
	}
	return t, nil
}

// write writes to a temporary name beside the target and renames, so that a
// failed run leaves the old file.
func (t target) write(write func(io.Writer) error) (err error) {
	// Not os.CreateTemp: a new file gets the mode that the umask leaves it.
	name := filepath.Join(filepath.Dir(t.path), fmt.Sprintf(".drawbar-%d-%d", os.Getpid(), time.Now().UnixNano()))
	f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fmt.Errorf("write %s: %w", t.path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		f.Close()
		return fmt.Errorf("write %s: %w", t.path, err)
	}
	if t.mode != 0 {
		if err = f.Chmod(t.mode.Perm()); err != nil {
			f.Close()
			return err
		}
	}
	if err = f.Close(); err != nil {
		return fmt.Errorf("write %s: %w", t.path, err)
	}
	if err = os.Rename(f.Name(), t.path); err != nil {
		return fmt.Errorf("write %s: %w", t.path, err)
	}
	return nil
}
