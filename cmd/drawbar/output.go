package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// errSameFile is returned for an output that is also an input.
var errSameFile = errors.New("output is also an input")

// writeFile writes to a temporary name beside the target and renames, so that
// a failed run leaves the old file. It refuses a target among the inputs, and a
// folder, device or pipe, which a rename would replace.
func writeFile(path string, inputs []string, write func(io.Writer) error) (err error) {
	mode := os.FileMode(0o644)
	if target, err := os.Stat(path); err == nil {
		if mode = target.Mode(); !mode.IsRegular() {
			return fmt.Errorf("%s is no regular file: name another", path)
		}
		for _, in := range inputs {
			if i, err := os.Stat(in); err == nil && os.SameFile(target, i) {
				return fmt.Errorf("%s: %w: name another file", path, errSameFile)
			}
		}
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".drawbar-*")
	if err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	defer func() {
		if err != nil {
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		f.Close()
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err = f.Chmod(mode.Perm()); err != nil {
		f.Close()
		return err
	}
	if err = f.Close(); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return fmt.Errorf("write %s: %w", path, err)
	}
	return nil
}
