package raster

import (
	"bufio"
	"bytes"
	"io"
	"strings"
)

// asciiGrid tells an ASCII grid by its first word.
func asciiGrid(head []byte) bool {
	words := bytes.Fields(head[:min(len(head), 64)])
	if len(words) == 0 {
		return false
	}
	switch strings.ToLower(string(words[0])) {
	case "ncols", "nrows", "xllcorner", "yllcorner", "xllcenter", "yllcenter", "cellsize":
		return true
	}
	return false
}

// notNumber marks the bytes that no number in an ASCII grid is written with.
// GDAL reads "443,5" as 443 and a word as 0, and says nothing.
var notNumber = func() (t [256]bool) {
	for i := range t {
		t[i] = !strings.ContainsRune("0123456789+-.eE \t\r\n\x00", rune(i)) || i > 127
	}
	return t
}()

// vetASCII refuses an ASCII grid whose values, or whose header's values, are
// not plain numbers. It reads the file once, and holds one word of it.
func vetASCII(r *bufio.Reader) error {
	line, header := 1, true
	var word []byte
	for {
		b, err := r.ReadByte()
		if err != nil && err != io.EOF {
			return refuse(ErrRead, "", "reading line %d: %v", line, err)
		}
		if err == nil && b > ' ' {
			word = append(word, b)
			if len(word) <= maxASCIIWord {
				continue
			}
		}
		if header && len(word) > 0 && !isHeaderWord(word) && !plain(word) || !header && !plain(word) {
			return refuse(ErrNoHeights, "write decimals with a point and missing cells with the nodata value",
				"line %d holds %q where a number must stand", line, clip(string(word)))
		}
		if err == io.EOF {
			return nil
		}
		if b == '\n' {
			line++
			header = header && headerAhead(r)
		}
		word = word[:0]
	}
}

// maxASCIIWord is longer than any number anybody writes. A choice.
const maxASCIIWord = 64

func headerAhead(r *bufio.Reader) bool {
	for n := 1; ; n++ {
		b, err := r.Peek(n)
		if err != nil {
			return false
		}
		if c := b[n-1]; c > ' ' {
			return c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z'
		}
	}
}

func isHeaderWord(w []byte) bool {
	return w[0] >= 'A' && w[0] <= 'Z' || w[0] >= 'a' && w[0] <= 'z'
}

// plain tells a number, or the "nan" that GDAL knows as a cell without data.
func plain(w []byte) bool {
	if strings.EqualFold(string(w), "nan") {
		return true
	}
	for _, b := range w {
		if notNumber[b] {
			return false
		}
	}
	return len(w) <= maxASCIIWord
}
