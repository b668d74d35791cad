package specfile

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"
)

type place struct{ line, column int }

// document is a file while it is read: what is wrong with it and where each
// field stands.
type document struct {
	name     string
	problems []Problem
	at       map[string]place
}

func (d *document) fail(at place, path, hint, format string, args ...any) {
	d.problems = append(d.problems, Problem{
		File: d.name, Line: at.line, Column: at.column, Path: path,
		Problem: fmt.Sprintf(format, args...), Hint: hint,
	})
}

// err returns the problems in the order of their places.
func (d *document) err() error {
	if len(d.problems) == 0 {
		return nil
	}
	slices.SortStableFunc(d.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	shown := min(len(d.problems), maxShown)
	return &Error{Problems: d.problems[:shown], More: len(d.problems) - shown}
}

// nearest is the place of a field, or of what it would stand in.
func (d *document) nearest(path string) place {
	for path != "" {
		if p, ok := d.at[path]; ok {
			return p
		}
		cut := max(strings.LastIndexByte(path, '.'), strings.LastIndexByte(path, '['), 0)
		path = path[:cut]
	}
	return place{}
}

// parse returns the root of the only document, nil after a complaint.
func (d *document) parse(data []byte) (root ast.Node) {
	if !d.screen(data) {
		return nil
	}
	file, err := d.tree(data)
	if err != nil {
		d.syntax(err)
		return nil
	}
	for _, doc := range file.Docs {
		if doc.Body == nil {
			continue
		}
		if root != nil {
			d.fail(placeOf(doc.Body), "", "one file, one document: take out the line ---", "a second document")
			return nil
		}
		root = doc.Body
	}
	if root == nil {
		d.fail(place{}, "", "", "the file is empty")
	}
	return root
}

// tree parses, and turns a panic of the parser into an error: it is fed by
// people.
func (d *document) tree(data []byte) (file *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			file, err = nil, fmt.Errorf("not YAML: %v", r)
		}
	}()
	return parser.ParseBytes(data, 0)
}

func (d *document) syntax(err error) {
	var syntax *yaml.SyntaxError
	var twice *yaml.DuplicateKeyError
	switch {
	case errors.As(err, &twice):
		d.fail(placeAt(twice.Token), "", "keep one of the two", "%s", twice.Message)
	case errors.As(err, &syntax):
		d.fail(placeAt(syntax.Token), "", hintFor(syntax), "%s", syntax.Message)
	default:
		d.fail(place{}, "", "", "%s", err.Error())
	}
}

// hintFor tells apart a key that stands twice, which the parser reports as a
// fault of syntax.
func hintFor(s *yaml.SyntaxError) string {
	if strings.Contains(s.Message, "already defined") {
		return "keep one of the two"
	}
	return "check indentation and colons"
}

func placeAt(t *token.Token) place {
	if t == nil || t.Position == nil {
		return place{}
	}
	return place{t.Position.Line, t.Position.Column}
}

func placeOf(n ast.Node) place {
	if m, ok := n.(*ast.MappingNode); ok && len(m.Values) > 0 {
		return placeOf(m.Values[0].Key)
	}
	if m, ok := n.(*ast.MappingValueNode); ok {
		return placeOf(m.Key)
	}
	return placeAt(n.GetToken())
}

// screen refuses before parsing what would cost the parser much or what it
// explains badly: size, encoding, tabs, deep nesting.
func (d *document) screen(data []byte) bool {
	switch {
	case len(data) > MaxBytes:
		d.fail(place{}, "", "is this the right file?", "longer than %d bytes", MaxBytes)
	case !utf8.Valid(data):
		d.fail(place{}, "", "save it as UTF-8", "not UTF-8 text")
	case bytes.HasPrefix(data, []byte("%")):
		d.fail(place{1, 1}, "", "take out the line, and the line --- after it", "a YAML directive")
	case bytes.IndexByte(data, 0) >= 0:
		d.fail(place{}, "", "is this the right file?", "holds a zero byte: not text")
	}
	depth := 0
	for i, line := range strings.Split(string(data), "\n") {
		body := strings.TrimLeft(line, " ")
		indent := len(line) - len(body)
		at := place{i + 1, indent + 1}
		if strings.HasPrefix(body, "\t") && strings.TrimSpace(body) != "" {
			d.fail(at, "", "indent with blanks", "a tab in the indentation")
		}
		net, deepest := brackets(body)
		if depth+deepest > MaxDepth || indent > 8*MaxDepth || openers(body) > MaxDepth {
			d.fail(at, "", "is this the right file?", "nested deeper than %d", MaxDepth)
			break
		}
		depth = max(0, depth+net)
	}
	return len(d.problems) == 0
}

// brackets is how many more flow collections a line opens than it closes, and
// how many stand open in it at most, outside comments.
func brackets(line string) (net, deepest int) {
	for i := 0; i < len(line); i++ {
		switch line[i] {
		case '[', '{':
			net++
			deepest = max(deepest, net)
		case ']', '}':
			net--
		case '#':
			if i == 0 || line[i-1] == ' ' {
				return net, deepest
			}
		}
	}
	return net, deepest
}

// openers counts what else nests within one line: dashes at its head, and
// anywhere the marks of complex keys, tags and anchors, which no file of ours
// needs.
func openers(line string) int {
	if strings.HasPrefix(line, "#") {
		return 0
	}
	n := strings.Count(line, "? ") + strings.Count(line, "!") + strings.Count(line, "&")
	for strings.HasPrefix(line, "- ") {
		n++
		line = strings.TrimLeft(line[2:], " ")
	}
	return n
}
