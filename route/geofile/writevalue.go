package geofile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
)

// appendObject writes properties in their order.
func appendObject(b []byte, ps []Property) ([]byte, error) {
	b = append(b, '{')
	seen := make(map[string]bool, len(ps))
	for i, p := range ps {
		if seen[p.Key] {
			return nil, fmt.Errorf("property %q stands twice", p.Key)
		}
		seen[p.Key] = true
		if i > 0 {
			b = append(b, ',')
		}
		b = append(appendString(b, p.Key), ':')
		var err error
		if b, err = appendValue(b, p.Value); err != nil {
			return nil, fmt.Errorf("property %q: %w", p.Key, err)
		}
	}
	return append(b, '}'), nil
}

func appendValue(b []byte, v any) ([]byte, error) {
	switch v := v.(type) {
	case nil:
		return append(b, "null"...), nil
	case bool:
		return strconv.AppendBool(b, v), nil
	case string:
		return appendString(b, v), nil
	case int:
		return strconv.AppendInt(b, int64(v), 10), nil
	case int64:
		return strconv.AppendInt(b, v, 10), nil
	case float64:
		return appendNumber(b, v)
	case []string:
		return appendArray(b, len(v), func(b []byte, i int) ([]byte, error) { return appendString(b, v[i]), nil })
	case []float64:
		return appendArray(b, len(v), func(b []byte, i int) ([]byte, error) { return appendNumber(b, v[i]) })
	case []Property:
		return appendObject(b, v)
	default:
		return nil, fmt.Errorf("a value of type %T cannot be written", v)
	}
}

func appendArray(b []byte, n int, one func([]byte, int) ([]byte, error)) ([]byte, error) {
	b = append(b, '[')
	for i := range n {
		if i > 0 {
			b = append(b, ',')
		}
		var err error
		if b, err = one(b, i); err != nil {
			return nil, err
		}
	}
	return append(b, ']'), nil
}

// appendNumber writes the shortest decimal that reads back as x, without an
// exponent up to 1e15, where floats stop telling whole numbers apart.
func appendNumber(b []byte, x float64) ([]byte, error) {
	switch abs := math.Abs(x); {
	case math.IsNaN(x) || math.IsInf(x, 0):
		return nil, fmt.Errorf("%g cannot be written in JSON", x)
	case x == 0:
		return append(b, '0'), nil
	case abs < 1e-9 || abs > 1e15:
		return strconv.AppendFloat(b, x, 'e', -1, 64), nil
	default:
		return strconv.AppendFloat(b, x, 'f', -1, 64), nil
	}
}

// appendString writes JSON text; bytes that are not UTF-8 become U+FFFD.
func appendString(b []byte, s string) []byte {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(s); err != nil {
		// Encoding a string into memory has no way to fail.
		return append(b, `""`...)
	}
	return append(b, bytes.TrimSuffix(buf.Bytes(), []byte("\n"))...)
}
