package main

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"drawbar/route/report"
)

// hashLimit is the size up to which an input is identified by its SHA-256.
const hashLimit = 64 << 20

// inputOf identifies a file for the report.
func inputOf(role, file string) report.Input {
	in := report.Input{Role: role, Name: filepath.Base(file)}
	f, err := os.Open(file)
	if err != nil {
		return in
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil || !info.Mode().IsRegular() {
		return in
	}
	in.Bytes = info.Size()
	h := sha256.New()
	if in.Bytes <= hashLimit {
		if _, err := io.Copy(h, f); err == nil {
			in.SHA256 = hex.EncodeToString(h.Sum(nil))
		}
		return in
	}
	const end = 1 << 20
	fmt.Fprintf(h, "%d\n", in.Bytes)
	if _, err := io.CopyN(h, f, end); err != nil {
		return in
	}
	if _, err := f.Seek(-end, io.SeekEnd); err != nil {
		return in
	}
	if _, err := io.Copy(h, f); err == nil {
		in.Print = "size+first+last-MiB:" + hex.EncodeToString(h.Sum(nil))
	}
	return in
}
