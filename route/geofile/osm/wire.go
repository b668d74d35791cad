package osm

import "errors"

// errCut is for a message that ends before its parts do.
var errCut = errors.New("a block is cut or damaged")

// message reads the fields of a Protocol Buffers message. Source: Protocol
// Buffers documentation, "Encoding" (memory); tested against real files and an
// independent reader.
type message struct {
	b     []byte
	field int
	num   uint64 // of a varint field
	data  []byte // of a field with a length
	err   error
}

// next reads the next field; false at the end or with err set.
func (m *message) next() bool {
	if len(m.b) == 0 || m.err != nil {
		return false
	}
	key := m.varint()
	m.field, m.num, m.data = int(key>>3), 0, nil
	if key>>3 == 0 || key>>3 > 1<<29 {
		m.err = errCut
	}
	if m.err != nil {
		return false
	}
	switch key & 7 {
	case 0:
		m.num = m.varint()
	case 1:
		m.skip(8)
	case 2:
		n := m.varint()
		if m.err == nil && n > uint64(len(m.b)) {
			m.err = errCut
		}
		if m.err == nil {
			m.data, m.b = m.b[:n:n], m.b[n:]
		}
	case 5:
		m.skip(4)
	default:
		m.err = errCut
	}
	return m.err == nil
}

func (m *message) skip(n int) {
	if n > len(m.b) {
		m.err = errCut
		return
	}
	m.b = m.b[n:]
}

func (m *message) varint() uint64 {
	v, rest, ok := varint(m.b)
	if !ok {
		m.err = errCut
	}
	m.b = rest
	return v
}

// varint reads one from the front of b.
func varint(b []byte) (v uint64, rest []byte, ok bool) {
	for i := 0; i < len(b) && i < 10; i++ {
		v |= uint64(b[i]&0x7f) << (7 * i)
		if b[i] < 0x80 {
			return v, b[i+1:], true
		}
	}
	return 0, nil, false
}

func zigzag(v uint64) int64 { return int64(v>>1) ^ -int64(v&1) }

// packed runs through a packed field of varints.
type packed struct {
	b   []byte
	bad bool
}

func (p *packed) more() bool { return len(p.b) > 0 && !p.bad }

func (p *packed) next() uint64 {
	v, rest, ok := varint(p.b)
	p.b, p.bad = rest, p.bad || !ok
	return v
}
