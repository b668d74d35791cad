package valley

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"math"
	"path/filepath"
	"strings"
	"testing"
)

// The series against package math, whose own functions are good to about
// 1e-16; the angles span every quadrant and the largest used.
func TestSeriesAgreeWithMath(t *testing.T) {
	worst := map[string]float64{}
	note := func(name string, got, want float64) {
		worst[name] = max(worst[name], math.Abs(got-want))
	}
	for i := -4000; i <= 4000; i++ {
		a := float64(i) / 500 // -8 to 8
		sin, cos := sincos(a)
		note("sin", sin, math.Sin(a))
		note("cos", cos, math.Cos(a))
		note("atan", atan(a), math.Atan(a))
		note("atan of large", atan(a*1e6), math.Atan(a*1e6))
		note("atan2", atan2(math.Sin(a), math.Cos(a)), math.Atan2(math.Sin(a), math.Cos(a)))
		sinh, cosh := sinhcosh(a / 8)
		note("sinh", sinh, math.Sinh(a/8))
		note("cosh", cosh, math.Cosh(a/8))
	}
	for name, w := range worst {
		if w > 1e-15 {
			t.Errorf("%s: largest difference %g, want at most 1e-15", name, w)
		}
	}
}

func TestAtan2OnAxes(t *testing.T) {
	for _, c := range []struct{ y, x, want float64 }{
		{0, 1, 0}, {1, 0, math.Pi / 2}, {0, -1, math.Pi}, {-1, 0, -math.Pi / 2}, {0, 0, 0},
	} {
		if got := atan2(c.y, c.x); got != c.want {
			t.Errorf("atan2(%g, %g) = %g, want %g", c.y, c.x, got, c.want)
		}
	}
}

// Values of splitmix64 for seed 0: hash with first number 0 adds the golden
// gamma once, as the generator's first step does; the second number 0 does it
// again on the mixed state. The published first output of the generator
// seeded with 0 is 0xe220a8397b1dcdaf (test vector widely printed, from
// memory); the mixing below must give it.
func TestHashMixesLikeSplitmix(t *testing.T) {
	const first = 0xe220a8397b1dcdaf
	gamma := uint64(0x9e3779b97f4a7c15)
	mixed := func(h uint64) uint64 {
		h = (h ^ h>>30) * 0xbf58476d1ce4e5b9
		h = (h ^ h>>27) * 0x94d049bb133111eb
		return h ^ h>>31
	}
	if got := mixed(gamma); got != first {
		t.Fatalf("mixing of the test gives %#x, want %#x", got, uint64(first))
	}
	if got, want := hash(0, 0, 0), mixed(first+gamma); got != want {
		t.Errorf("hash(0, 0, 0) = %#x, want %#x", got, want)
	}
}

// Uniform noise: bounds, mean and standard deviation (1/sqrt 3) over a block.
func TestUniformIsUniform(t *testing.T) {
	const n = 200
	sum, sum2 := 0.0, 0.0
	for i := range n {
		for j := range n {
			u := uniform(seedNoise, i, j)
			if u < -1 || u >= 1 {
				t.Fatalf("uniform(%d, %d) = %g, outside -1 up to 1", i, j, u)
			}
			sum, sum2 = sum+u, sum2+u*u
		}
	}
	mean, sd := sum/(n*n), math.Sqrt(sum2/(n*n))
	// Four standard errors of a mean of 40000: 4*0.577/200.
	if math.Abs(mean) > 0.0116 || math.Abs(sd-1/math.Sqrt(3)) > 0.006 {
		t.Errorf("mean %.4f, standard deviation %.4f, want 0 and 0.577", mean, sd)
	}
}

// TestNoFusedProducts reads this package's source and holds the rules its
// documentation gives for equal bytes on every machine.
func TestNoFusedProducts(t *testing.T) {
	set, files, info := checked(t)
	products := 0
	for _, f := range files {
		var parents []ast.Node
		ast.Inspect(f, func(n ast.Node) bool {
			if n == nil {
				parents = parents[:len(parents)-1]
				return true
			}
			switch n := n.(type) {
			case *ast.BinaryExpr:
				if n.Op == token.MUL && isFloat(info, n) {
					products++
					if !converted(info, parents) {
						t.Errorf("%s: product of floats without float64(...) around it", set.Position(n.Pos()))
					}
				}
			case *ast.AssignStmt:
				if n.Tok == token.MUL_ASSIGN && isFloat(info, n.Lhs[0]) {
					t.Errorf("%s: *= on a float may be fused", set.Position(n.Pos()))
				}
			case *ast.SelectorExpr:
				if inexact(info, n) {
					t.Errorf("%s: math.%s is not exact on every processor", set.Position(n.Pos()), n.Sel.Name)
				}
			}
			parents = append(parents, n)
			return true
		})
	}
	if products == 0 {
		t.Error("no product of floats found: the test looks at nothing")
	}
}

// checked is this package's own files, parsed and with types.
func checked(t *testing.T) (*token.FileSet, []*ast.File, *types.Info) {
	t.Helper()
	set := token.NewFileSet()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Importer: importer.ForCompiler(set, "source", nil)}
	if _, err := config.Check("valley", set, files, info); err != nil {
		t.Fatal(err)
	}
	return set, files, info
}

// isFloat reports a float that is computed at run time.
func isFloat(info *types.Info, e ast.Expr) bool {
	tv := info.Types[e]
	basic, ok := tv.Type.Underlying().(*types.Basic)
	return ok && tv.Value == nil && basic.Info()&types.IsFloat != 0
}

// converted reports that the innermost node around is a float64 conversion.
func converted(info *types.Info, parents []ast.Node) bool {
	call, ok := parents[len(parents)-1].(*ast.CallExpr)
	return ok && info.Types[call.Fun].IsType()
}

// inexact reports a function of package math that may differ in the last bit.
func inexact(info *types.Info, s *ast.SelectorExpr) bool {
	f, ok := info.Uses[s.Sel].(*types.Func)
	if !ok || f.Pkg() == nil || f.Pkg().Path() != "math" {
		return false
	}
	switch f.Name() {
	case "Sqrt", "Floor", "Abs", "Inf", "Float64bits":
		return false
	}
	return true
}
