package specfile

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// decode fills the struct that v points to from the root of the file.
func (d *document) decode(root ast.Node, v any) {
	d.value("", root, reflect.ValueOf(v).Elem())
}

// value fills one field. The types of the vehicle package need structs,
// lists, pointers, text, numbers, counts and truth values.
func (d *document) value(path string, n ast.Node, v reflect.Value) {
	switch n.(type) {
	case *ast.AnchorNode, *ast.AliasNode, *ast.TagNode, *ast.MergeKeyNode:
		d.fail(placeOf(n), path, "write the value out", "anchors, aliases and tags are not read")
		return
	case *ast.NullNode:
		d.fail(placeOf(n), path, "give a value or take the key out", "has no value")
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		p := reflect.New(v.Type().Elem())
		before := len(d.problems)
		d.value(path, n, p.Elem())
		if len(d.problems) == before {
			v.Set(p)
		}
	case reflect.Struct:
		d.mapping(path, n, v)
	case reflect.Slice:
		d.list(path, n, v)
	default:
		d.scalar(path, n, v)
	}
}

func (d *document) mapping(path string, n ast.Node, v reflect.Value) {
	var pairs []*ast.MappingValueNode
	switch m := n.(type) {
	case *ast.MappingNode:
		pairs = m.Values
	case *ast.MappingValueNode:
		pairs = []*ast.MappingValueNode{m}
	default:
		d.wrong(path, n, "keys with values")
		return
	}
	seen := map[string]bool{}
	for _, p := range pairs {
		key, ok := keyText(p.Key)
		at := placeOf(p.Key)
		if !ok {
			d.fail(at, path, "write a plain word before the colon", "a key that is not a plain word")
			continue
		}
		sub := join(path, key)
		i := fieldOf(v.Type(), key)
		switch {
		case i < 0:
			d.fail(at, path, nearestKey(v.Type(), key), "unknown key %q", key)
		case seen[key]:
			d.fail(at, sub, "keep one of the two", "stands twice")
		default:
			seen[key] = true
			d.at[sub] = at
			d.value(sub, p.Value, v.Field(i))
		}
	}
}

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

func keyText(k ast.MapKeyNode) (string, bool) {
	if s, ok := k.(*ast.StringNode); ok {
		return s.Value, true
	}
	return "", false
}

func (d *document) list(path string, n ast.Node, v reflect.Value) {
	s, ok := n.(*ast.SequenceNode)
	if !ok {
		d.wrong(path, n, "a list")
		return
	}
	out := reflect.MakeSlice(v.Type(), len(s.Values), len(s.Values))
	for i, e := range s.Values {
		sub := fmt.Sprintf("%s[%d]", path, i)
		d.at[sub] = placeOf(e)
		d.value(sub, e, out.Index(i))
	}
	v.Set(out)
}

func (d *document) scalar(path string, n ast.Node, v reflect.Value) {
	switch v.Kind() {
	case reflect.String:
		if s, ok := text(n); ok {
			v.SetString(s)
			return
		}
		d.wrong(path, n, "text")
	case reflect.Bool:
		if b, ok := n.(*ast.BoolNode); ok {
			v.SetBool(b.Value)
			return
		}
		d.wrong(path, n, "true or false")
	case reflect.Float64:
		if x, ok := number(n); ok {
			v.SetFloat(x)
			return
		}
		d.wrong(path, n, "a number")
	case reflect.Int:
		if x, ok := number(n); ok && x == math.Trunc(x) && math.Abs(x) < 1<<31 {
			v.SetInt(int64(x))
			return
		}
		d.wrong(path, n, "a whole number")
	}
}

// text takes a number where text is wanted as written: a name may be 4711.
func text(n ast.Node) (string, bool) {
	switch s := n.(type) {
	case *ast.StringNode:
		return s.Value, true
	case *ast.LiteralNode:
		return s.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode:
		return n.GetToken().Value, true
	}
	return "", false
}

// number reads decimal numbers only: an octal or hexadecimal mass is a slip.
func number(n ast.Node) (float64, bool) {
	switch x := n.(type) {
	case *ast.FloatNode:
		return x.Value, !math.IsInf(x.Value, 0) && !math.IsNaN(x.Value)
	case *ast.IntegerNode:
		if v := strings.TrimLeft(x.GetToken().Value, "+-"); len(v) > 1 && v[0] == '0' {
			return 0, false
		}
		switch i := x.Value.(type) {
		case int64:
			return float64(i), true
		case uint64:
			return float64(i), true
		}
	}
	return 0, false
}

// wrong complains of a value of the wrong type and says what it is.
func (d *document) wrong(path string, n ast.Node, wants string) {
	hint := ""
	if s, ok := n.(*ast.StringNode); ok {
		if wants == "a number" && strings.Contains(s.Value, ",") {
			hint = "write decimals with a point"
		}
		if wants == "true or false" {
			hint = "yes, no, on and off are text in YAML"
		}
	}
	d.fail(placeOf(n), path, hint, "must be %s, is %s", wants, describe(n))
}

func describe(n ast.Node) string {
	switch s := n.(type) {
	case *ast.StringNode:
		return fmt.Sprintf("text %.40q", s.Value)
	case *ast.LiteralNode:
		return "a block of text"
	case *ast.MappingNode, *ast.MappingValueNode:
		return "keys with values"
	case *ast.SequenceNode:
		return "a list"
	}
	return fmt.Sprintf("%.40s", n.GetToken().Value)
}
