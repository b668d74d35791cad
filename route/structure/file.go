package structure

import (
	"math"
	"slices"
	"sync/atomic"

	"drawbar/route"

	"github.com/paulmach/orb"
	"github.com/tidwall/geojson"
	"github.com/tidwall/geojson/geometry"
	"github.com/tidwall/rtree"
)

// Spot is one feature of a file of structures: at a point, or along a line.
type Spot struct {
	Feature Feature
	Point   orb.Point
	Line    orb.LineString // nil for a point
	ID      string         // as messages name it: "feature 3", "row 4"
}

// Land is an area of a file of structures.
type Land struct {
	Feature Feature
	Region  geojson.Object // a polygon or several
	ID      string
}

// File is a file of structures and areas. It is safe for concurrent use.
type File struct {
	Name  string
	spots []Spot
	lands []Land
	tree  rtree.RTree // boxes of the areas
	spotG rtree.RTree // spots, by their point or first vertex
	used  []atomic.Bool
	// Around are the ways among the features, whose decks may cross over a route.
	Around *Around
}

// NewFile indexes what a file holds. around may be nil.
func NewFile(name string, spots []Spot, lands []Land, around *Around) *File {
	f := &File{Name: name, spots: spots, lands: lands, used: make([]atomic.Bool, len(spots)), Around: around}
	for i, l := range lands {
		r := l.Region.Rect()
		f.tree.Insert([2]float64{r.Min.X, r.Min.Y}, [2]float64{r.Max.X, r.Max.Y}, i)
	}
	for i := range spots {
		p := spots[i].first()
		f.spotG.Insert(p, p, i)
	}
	if around != nil {
		around.Name = name
	}
	return f
}

// Distances, metres. Choices.
const (
	// nearM is how far from the line a point may lie that stands on the way.
	nearM = 25.0
	// alongM is how far a line may lie that runs along the way: nearer, for another
	// may run beside it.
	alongM = 8.0
	// pointHalfM is half the length that a point without a span takes.
	pointHalfM = 2.5
	// passM parts two passes of the way by one point.
	passM = 100.0
	// sameM is how far apart two sources may place one structure.
	sameM = 15.0
	// areaStepM is the step at which the way is held against an area; a stretch
	// inside is wider by less than that.
	areaStepM = 10.0
)

// Assumed are the distances within which features are placed.
func (f *File) Assumed() []route.Assumption {
	return []route.Assumption{
		{Key: "structure.near_m", Value: nearM, Unit: "m", Source: "farthest from the line that a point of a file of structures is taken to stand on the way", Standing: "choice"},
		{Key: "structure.same_m", Value: sameM, Unit: "m", Source: "two sources place one structure within this", Standing: "choice"},
	}
}

// Place puts the features of the file on a way and joins them to what was placed
// already: of two limits the stricter counts, and both sources are named.
func (f *File) Place(a *route.Alignment, placed []Placed) []Placed {
	for _, i := range f.near(a) {
		for _, at := range f.spots[i].on(a) {
			f.used[i].Store(true)
			one := f.spots[i].Feature
			one.Source = f.Name
			placed = Add(placed, Placed{Feature: &one, At: at})
		}
	}
	return append(placed, f.areas(a)...)
}

func (s *Spot) first() [2]float64 {
	if s.Line != nil {
		return wrap(s.Line[0])
	}
	return s.Point
}

// near are the features that may stand on a way, in the order of the file.
func (f *File) near(a *route.Alignment) (out []int) {
	if len(f.spots) == 0 {
		return nil
	}
	const north = nearM / 111e3
	for k := 1; k < len(a.Line); k++ {
		p, q := wrap(a.Line[k-1]), wrap(a.Line[k])
		low, high := box(p, q)
		east := north / max(math.Cos(p[1]*math.Pi/180), 0.01)
		f.spotG.Search([2]float64{low[0] - east, low[1] - north}, [2]float64{high[0] + east, high[1] + north}, func(_, _ [2]float64, v any) bool {
			out = append(out, v.(int))
			return true
		})
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Unplaced are the features that stood on no way so far.
func (f *File) Unplaced() (out []string) {
	for i := range f.spots {
		if s := &f.spots[i]; s.Line == nil && !f.used[i].Load() {
			out = append(out, s.ID+" ("+string(s.Feature.Kind)+") lies on no route")
		}
	}
	return out
}

// Add puts one structure among those of a way: into one of its kind at its place,
// or beside it.
func Add(placed []Placed, p Placed) []Placed {
	wide := route.Stretch{FromM: p.At.FromM - sameM, ToM: p.At.ToM + sameM}
	for i := range placed {
		q := &placed[i]
		if q.Feature.Kind == p.Feature.Kind && q.At.Overlaps(wide) {
			both := q.Feature.with(p.Feature)
			q.Feature = &both
			return placed
		}
	}
	return append(placed, p)
}

// with is a feature with what another source says of it.
func (f *Feature) with(g *Feature) Feature {
	out := *f
	out.Differs = append([]string(nil), f.Differs...)
	if out.Name == "" {
		out.Name = g.Name
	}
	for _, l := range []struct {
		key  string
		to   *route.Limit
		two  route.Limit
		most bool
	}{
		{"maxweight", &out.MaxMassKg, g.MaxMassKg, false},
		{"maxaxleload", &out.MaxAxleKg, g.MaxAxleKg, false},
		{"maxbogieweight", &out.MaxBogieKg, g.MaxBogieKg, false},
		{"maxheight", &out.MaxHeightM, g.MaxHeightM, false},
		{"maxwidth", &out.MaxWidthM, g.MaxWidthM, false},
		{"mlc:wheeled", &out.ClassWheeled, g.ClassWheeled, false},
		{"mlc:wheeled_oneway", &out.ClassWheeledOne, g.ClassWheeledOne, false},
		{"bridge:span", &out.SpanM, g.SpanM, true},
		{"depth", &out.DepthM, g.DepthM, true},
		{"rated_moment_knm", &out.RatedMomentNm, g.RatedMomentNm, false},
		{"rated_shear_kn", &out.RatedShearN, g.RatedShearN, false},
		{"cleared_mass_kg", &out.ClearedMassKg, g.ClearedMassKg, false},
	} {
		one := *l.to
		var differ bool
		if *l.to, differ = Stricter(one, l.two, l.most); differ {
			out.Differs = append(out.Differs, l.key+" is \""+one.Raw+"\" by "+f.Source+" and \""+l.two.Raw+"\" by "+g.Source)
		}
	}
	if out.Form == "" {
		out.Form, out.Material, out.Spans = g.Form, g.Material, g.Spans
	}
	out.Source = f.Source + " and " + g.Source
	return out
}

// on are the stretches of a way where a feature stands.
func (s *Spot) on(a *route.Alignment) (out []route.Stretch) {
	if s.Line != nil {
		return s.along(a)
	}
	half := pointHalfM
	if s.Feature.SpanM.State == route.Known {
		half = max(s.Feature.SpanM.Value/2, half)
	}
	for _, at := range passes(a, s.Point, nearM) {
		out = append(out, route.Stretch{FromM: max(at-half, 0), ToM: min(at+half, a.LengthM())})
	}
	return out
}

// along is the stretch of a way that a line runs along, every vertex of it near.
func (s *Spot) along(a *route.Alignment) []route.Stretch {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, p := range s.Line {
		at := passes(a, p, alongM)
		if len(at) == 0 {
			return nil
		}
		lo, hi = min(lo, at[0]), max(hi, at[0])
	}
	if hi-lo < 1 {
		return nil // across it, or too short
	}
	return []route.Stretch{{FromM: lo, ToM: hi}}
}

// passes are the chainages at which a way passes a point within a distance, one a
// pass.
func passes(a *route.Alignment, p orb.Point, within float64) (out []float64) {
	const degM = 111.2e3
	east := degM * math.Cos(p[1]*math.Pi/180)
	turns := 360 * math.Round((a.Line[0][0]-p[0])/360)
	best, bestS := math.Inf(1), 0.0
	for k := 1; k < len(a.Line); k++ {
		u, v := a.Line[k-1], a.Line[k]
		ux, uy := (u[0]-p[0]-turns)*east, (u[1]-p[1])*degM
		dx, dy := (v[0]-u[0])*east, (v[1]-u[1])*degM
		t := 0.0
		if l2 := dx*dx + dy*dy; l2 > 0 {
			t = min(max(-(ux*dx+uy*dy)/l2, 0), 1)
		}
		d := math.Hypot(ux+t*dx, uy+t*dy)
		if d > within {
			continue
		}
		s := a.ChainageM[k-1] + t*(a.ChainageM[k]-a.ChainageM[k-1])
		if best < math.Inf(1) && s-bestS > passM {
			out = append(out, bestS)
			best = math.Inf(1)
		}
		if d < best {
			best, bestS = d, s
		}
	}
	if best < math.Inf(1) {
		out = append(out, bestS)
	}
	return out
}

// areas are the stretches of a way in areas of the file.
func (f *File) areas(a *route.Alignment) (out []Placed) {
	if len(f.lands) == 0 {
		return nil
	}
	open := map[int]int{} // area: index in out of its stretch at hand
	for k := 1; k < len(a.Line); k++ {
		length := a.ChainageM[k] - a.ChainageM[k-1]
		n := max(int(math.Ceil(length/areaStepM)), 1)
		for j := range n {
			s := route.Stretch{FromM: a.ChainageM[k-1] + length*float64(j)/float64(n), ToM: a.ChainageM[k-1] + length*float64(j+1)/float64(n)}
			p, q := wrap(a.At(s.FromM)), wrap(a.At(s.ToM))
			low, high := box(p, q)
			f.tree.Search(low, high, func(_, _ [2]float64, v any) bool {
				i := v.(int)
				edge := geojson.NewLineString(geometry.NewLine([]geometry.Point{{X: p[0], Y: p[1]}, {X: q[0], Y: q[1]}}, nil))
				if !f.lands[i].Region.Intersects(edge) {
					return true
				}
				if at, ok := open[i]; ok && out[at].At.ToM >= s.FromM-1e-6 {
					out[at].At.ToM = s.ToM
					return true
				}
				one := f.lands[i].Feature
				one.Source = f.Name
				open[i] = len(out)
				out = append(out, Placed{Feature: &one, At: s})
				return true
			})
		}
	}
	return out
}

// wrap brings a longitude to -180 to 180.
func wrap(p orb.Point) orb.Point { return orb.Point{math.Remainder(p[0], 360), p[1]} }
