// Generate writes the files of the invented sample valley. Run it from the
// root of the module:
//
//	go run ./samples/generate [-dir samples]
//
// It writes the same bytes on every machine; a test of samples/valley holds
// the files in the repository against them.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"drawbar/samples/valley"
)

func main() {
	dir := flag.String("dir", "samples", "folder to write into; it must exist")
	flag.Parse()
	if err := write(*dir); err != nil {
		fmt.Fprintln(os.Stderr, "generate:", err)
		os.Exit(1)
	}
}

// write makes the valley and writes its files into the folder.
func write(dir string) error {
	v, err := valley.Make()
	if err != nil {
		return err
	}
	for _, f := range v.Files() {
		if err := os.WriteFile(filepath.Join(dir, f.Name), f.Data, 0o644); err != nil {
			return fmt.Errorf("write %s: %w", f.Name, err)
		}
	}
	return nil
}
