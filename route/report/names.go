package report

import (
	"fmt"
	"math"
	"strings"
	"unicode"

	"drawbar/route/check"
)

// nameWidth is the most of a name that a text shows: names come from files, and
// files hold anything.
const nameWidth = 60

// sayingWidth is the most of an error or an explanation that a text shows: they
// quote what stood in files.
const sayingWidth = 600

// short cuts a name for a text.
func short(s string, n int) string {
	const longestRune = 4 // bytes
	if most := (n + 1) * longestRune; len(s) > most {
		s = s[:most] // more than n runes, and a megabyte is not turned into runes
	}
	if r := []rune(s); len(r) > n {
		return string(r[:n-1]) + "~"
	}
	return s
}

func shortened(names []string) []string {
	out := make([]string, 0, len(names))
	for _, n := range names {
		out = append(out, short(n, nameWidth))
	}
	return out
}

// wide are the blocks of letters that fill two columns of a terminal: East Asian
// Wide and Fullwidth of Unicode Standard Annex 11, by block, from memory.
var wide = &unicode.RangeTable{
	R16: []unicode.Range16{{0x1100, 0x115f, 1}, {0x231a, 0x231b, 1}, {0x23e9, 0x23ec, 1}, {0x25fd, 0x25fe, 1}, {0x2614, 0x2615, 1}, {0x2648, 0x2653, 1}, {0x26a1, 0x26a1, 1},
		{0x2705, 0x2705, 1}, {0x274c, 0x274c, 1}, {0x2b1b, 0x2b1c, 1}, {0x2e80, 0x303e, 1}, {0x3041, 0x33ff, 1}, {0x3400, 0x4dbf, 1}, {0x4e00, 0x9fff, 1}, {0xa000, 0xa4cf, 1},
		{0xa960, 0xa97f, 1}, {0xac00, 0xd7a3, 1}, {0xf900, 0xfaff, 1}, {0xfe10, 0xfe19, 1}, {0xfe30, 0xfe6f, 1}, {0xff00, 0xff60, 1}, {0xffe0, 0xffe6, 1}},
	R32: []unicode.Range32{{0x16fe0, 0x18cff, 1}, {0x1aff0, 0x1b2ff, 1}, {0x1f300, 0x1f64f, 1}, {0x1f680, 0x1f6ff, 1}, {0x1f900, 0x1f9ff, 1}, {0x20000, 0x3fffd, 1}},
}

// columnsOf is how many columns of a terminal letters take: marks that stand on
// the letter before them none, wide ones two.
func columnsOf(runes []rune) (n int) {
	for _, r := range runes {
		n += columnOf(r)
	}
	return n
}

func columnOf(r rune) int {
	switch {
	case r < 0x300:
		return 1
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case unicode.Is(wide, r):
		return 2
	}
	return 1
}

// fitting is how many of the letters fit a number of columns.
func fitting(runes []rune, columns int) int {
	n := 0
	for i, r := range runes {
		if n += columnOf(r); n > columns {
			return i
		}
	}
	return len(runes)
}

// clean takes out of what came from a file that which moves the cursor, changes
// the direction of writing or is not seen.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
			return '?'
		}
		return r
	}, s)
}

// glued puts a unit to the number before it, so that no line breaks between
// them.
func glued(words []string) []string {
	out := words[:0]
	for _, w := range words {
		n := len(out)
		if n > 0 && units[strings.TrimRight(w, ",.;:)")] && endsInDigit(out[n-1]) && len(out[n-1]) < nameWidth {
			out[n-1] += " " + w
			continue
		}
		out = append(out, w)
	}
	return out
}

var units = map[string]bool{"%": true, "m": true, "km": true, "t": true, "kN": true, "deg": true, "ft": true, "mi": true, "lbf": true}

func endsInDigit(s string) bool { return s[len(s)-1] >= '0' && s[len(s)-1] <= '9' }

// sizes are the dimensions of a train in words.
func (t *text) sizes(c *Train) string {
	var out []string
	for _, d := range []struct {
		m          float64
		word, name string
	}{{c.LengthM, "long", "length"}, {c.WidthM, "wide", "width"}, {c.HeightM, "high", "height"}} {
		if math.IsNaN(d.m) {
			out = append(out, d.name+" not given")
			continue
		}
		out = append(out, t.size(d.m)+" "+d.word)
	}
	return strings.Join(out, ", ")
}

// sentence is what a finding says, its names cut.
func (t *text) sentence(f *check.Finding) string { return t.fill(f.Say, f.Q) }

// fill is Units.Fill with names cut.
func (t *text) fill(template string, qs []check.Quantity) string {
	cut := make([]check.Quantity, 0, len(qs))
	for _, q := range qs {
		q.Text = short(q.Text, nameWidth)
		cut = append(cut, q)
	}
	return t.u.Fill(template, cut)
}

// place prints a coordinate to about a metre.
func place(p [2]float64) string {
	ns, ew := "N", "E"
	lon, lat := math.Mod(p[0]+540, 360)-180, p[1]
	if lat < 0 {
		ns, lat = "S", -lat
	}
	if lon < 0 {
		ew, lon = "W", -lon
	}
	return fmt.Sprintf("%.5f %s %.5f %s", lat, ns, lon, ew)
}
