package osm

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
)

// Bounds of the format. Source: OpenStreetMap wiki, "PBF Format" (memory).
const (
	maxBlobHeader = 64 << 10
	maxBlob       = 32 << 20
)

// canRead are the required features that this reader knows.
var canRead = []string{"OsmSchema-V0.6", "DenseNodes", "HistoricalInformation"}

// visitor takes what a scan meets; a nil function is not called and its elements
// are not decoded.
type visitor struct {
	node func(id int64, lon, lat float64, tags func() map[string]string) error
	way  func(id int64, refs []int64, tags map[string]string) error
}

// blobs reads the blobs of a PBF file one by one.
type blobs struct {
	r     io.Reader
	at    int64 // bytes read
	start int64 // of the blob at hand
	raw   []byte
	out   bytes.Buffer
}

// next gives kind and content of the next blob, io.EOF at a clean end.
func (p *blobs) next() (kind string, data []byte, err error) {
	p.start = p.at
	var size [4]byte
	if n, err := io.ReadFull(p.r, size[:]); err != nil {
		if n == 0 && errors.Is(err, io.EOF) {
			return "", nil, io.EOF
		}
		return "", nil, cut(err)
	}
	n := binary.BigEndian.Uint32(size[:])
	if n > maxBlobHeader {
		return "", nil, fmt.Errorf("%w: a blob header of %d bytes", errNotOSM, n)
	}
	head, err := p.take(int(n))
	if err != nil {
		return "", nil, err
	}
	m := message{b: head}
	length := int64(-1)
	for m.next() {
		switch m.field {
		case 1:
			kind = string(m.data)
		case 3:
			length = int64(m.num)
		}
	}
	if m.err != nil || length < 0 || length > maxBlob || kind == "" {
		return "", nil, fmt.Errorf("%w: no blob header", errNotOSM)
	}
	body, err := p.take(int(length))
	if err != nil {
		return "", nil, err
	}
	p.at += 4 + int64(n) + length
	data, err = p.unpack(body)
	return kind, data, err
}

// take reads n bytes, n bounded by the caller.
func (p *blobs) take(n int) ([]byte, error) {
	p.raw = slices.Grow(p.raw[:0], n)[:n]
	if _, err := io.ReadFull(p.r, p.raw); err != nil {
		return nil, cut(err)
	}
	return p.raw, nil
}

func cut(err error) error {
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errCut
	}
	return err
}

// unpack gives the content of a blob; what unpacks to more than the format allows
// is refused before it fills the memory.
func (p *blobs) unpack(body []byte) ([]byte, error) {
	m := message{b: body}
	var plain, packed []byte
	other := false
	for m.next() {
		switch m.field {
		case 1:
			plain = m.data
		case 3:
			packed = m.data
		case 4, 5, 6, 7:
			other = true
		}
	}
	switch {
	case m.err != nil:
		return nil, m.err
	case packed == nil && other:
		return nil, fmt.Errorf("%w: a compression other than zlib", errNotOSM)
	case packed == nil:
		return plain, nil
	}
	z, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, errCut
	}
	p.out.Reset()
	n, err := io.Copy(&p.out, io.LimitReader(z, maxBlob+1))
	switch {
	case err != nil:
		return nil, errCut
	case n > maxBlob:
		return nil, fmt.Errorf("%w: a blob that unpacks to more than %d bytes", errNotOSM, maxBlob)
	}
	return p.out.Bytes(), nil
}

// scanPBF visits the elements of a PBF file.
func scanPBF(r io.Reader, v visitor) error {
	p := &blobs{r: r}
	first := true
	for {
		kind, data, err := p.next()
		switch {
		case err == io.EOF && first:
			return errEmpty
		case err == io.EOF:
			return nil
		case err == nil && first && kind != "OSMHeader":
			err = fmt.Errorf("%w: the file does not begin with an OSMHeader", errNotOSM)
		case err == nil && kind == "OSMHeader":
			err = header(data)
		case err == nil && kind == "OSMData":
			err = block(data, v)
		}
		if err != nil {
			return &at{p.start, err}
		}
		first = false
	}
}

// at is an error with the offset of its block.
type at struct {
	byteOffset int64
	err        error
}

func (a *at) Error() string { return fmt.Sprintf("block at byte %d: %v", a.byteOffset, a.err) }
func (a *at) Unwrap() error { return a.err }

func header(data []byte) error {
	m := message{b: data}
	for m.next() {
		if m.field == 4 && !slices.Contains(canRead, string(m.data)) {
			return fmt.Errorf("%w: it requires the feature %.40q", errNotOSM, m.data)
		}
	}
	return m.err
}
