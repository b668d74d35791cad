package report

import (
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"math"
	"slices"
	"strings"

	"drawbar/route/check"
	"drawbar/route/verdict"
)

//go:embed sheet.html
var sheetText string

// pages are the printable pages: a sheet for the crew that drives the way
// first, an enquiry for the authority of a road.
var pages = template.Must(template.New("pages").Parse(sheetText))

// byAuthority are the checks whose questions a road authority or an owner
// answers.
var byAuthority = []string{"bridge", "overhead", "posting", "access", "crossing", "gate"}

type page struct {
	Caution  string
	Train    pageTrain
	Trains   []pageTrain
	Routes   []pageRoute
	Today    string
	Settings string
}

type pageTrain struct {
	Name, Sizes, Gross, Axle, Pair, Class string
	Coupled                               bool
	Rows                                  []pageAxle
	Picture                               template.HTML
}

type pageAxle struct{ N, Unit, Ahead, Behind, Load, Tyres string }

type pageRoute struct {
	ID, Verdict, Length, From, To string
	Rows                          []pageRow
	Whole                         []pageRow
}

type pageRow struct {
	N                         int
	Chainage, Lat, Lon, Check string
	Say, Ask, Train           string
	Passes, Bring             []string
	Unverified                bool
}

// Reconnaissance writes the reconnaissance sheet: one large row a question, with room
// to write in by hand.
func Reconnaissance(w io.Writer, run *Run, u Units) error {
	return pages.ExecuteTemplate(w, "sheet", pageOf(run, u, func(x *question) bool { return true }))
}

// Enquiry writes a page for a road authority: what train, where, what is asked.
func Enquiry(w io.Writer, run *Run, u Units) error {
	return pages.ExecuteTemplate(w, "enquiry", pageOf(run, u, func(x *question) bool { return !x.q.Standing && slices.Contains(byAuthority, x.f.Check) && !x.onFoot() }))
}

// onFoot reports a question that is answered by looking, not by an authority.
func (x *question) onFoot() bool {
	return len(x.f.Needs) > 0 && x.f.Needs[0][0].Key == "looked"
}

func pageOf(run *Run, u Units, want func(*question) bool) page {
	p := page{Caution: askCaution, Train: pageTrainOf(&run.Train, u), Today: run.Today}
	p.Train.Name = clean(short(p.Train.Name, nameWidth))
	helped := map[string]bool{}
	for _, x := range questions(run) {
		if !want(&x) {
			continue
		}
		if n := len(p.Routes); n == 0 || p.Routes[n-1].ID != idOf(x.rec.Result) {
			p.Routes = append(p.Routes, pageRouteOf(x.rec.Result, u))
		}
		r := &p.Routes[len(p.Routes)-1]
		row := pageRowOf(&x, u)
		if x.q.Standing {
			r.Whole = append(r.Whole, row)
			continue
		}
		r.Rows = append(r.Rows, row)
		helped[x.q.Helper] = helped[x.q.Helper] || x.q.Helper != ""
	}
	p.Trains = []pageTrain{p.Train}
	for i := range run.Coupled {
		if i < len(run.Train.Helpers) && helped[run.Train.Helpers[i]] {
			c := pageTrainOf(&run.Coupled[i], u)
			c.Coupled = true
			p.Trains = append(p.Trains, c)
		}
	}
	return p
}

func idOf(r *verdict.Result) string { return clean(short(r.Way.Route.ID, nameWidth)) + backwards(r) }

func pageRouteOf(r *verdict.Result, u Units) pageRoute {
	n := len(r.Way.Line) - 1
	return pageRoute{ID: idOf(r), Verdict: heading(r.Verdict), Length: u.Chainage(r.Way.LengthM()), From: place(r.Way.Line[0]), To: place(r.Way.Line[n])}
}

func pageRowOf(x *question, u Units) pageRow {
	t := text{u: u}
	from, to := u.Chainage(x.from), u.Chainage(x.to)
	chainage := from
	if to != from {
		chainage = strings.Fields(from)[0] + " - " + to
	}
	at := strings.Fields(place(x.at))
	row := pageRow{N: x.n, Chainage: chainage, Lat: at[0] + " " + at[1], Lon: at[2] + " " + at[3], Check: x.f.Check, Say: clean(t.sentence(x.f)), Ask: clean(t.fill(x.f.Close, x.f.Q)),
		Passes: x.alternatives(u), Unverified: x.f.Unverified, Bring: x.bring(u)}
	if x.q.Helper != "" {
		row.Train = "with " + clean(short(x.q.Helper, nameWidth)) + " coupled ahead"
	}
	return row
}

// bring is what the train does there, as far as the finding says.
func (x *question) bring(u Units) (out []string) {
	for _, q := range []struct {
		names []string
		word  string
	}{{[]string{"class"}, "load class"}, {[]string{"gross"}, "gross"}, {[]string{"axle"}, "axle"}, {[]string{"pair", "bogie"}, "pair of axles"},
		{[]string{"moment"}, "moment"}, {[]string{"shear"}, "shear"}, {[]string{"likely"}, "span"}, {[]string{"have"}, "ours"}} {
		for _, f := range x.f.Q {
			if slices.Contains(q.names, f.Name) && f.Unit != check.Literal && !math.IsNaN(f.Value) {
				out = append(out, q.word+" "+u.Format(f))
				break
			}
		}
	}
	return out
}

func pageTrainOf(t *Train, u Units) pageTrain {
	kg := func(v, se float64) string { return u.Format(check.Quantity{Value: v, SE: se, Unit: check.Kg}) }
	p := pageTrain{Name: clean(short(t.Name, nameWidth)), Sizes: (&text{u: u}).sizes(t), Gross: kg(t.GrossKg, t.GrossSEKg),
		Axle: kg(t.AxleKg, 0), Pair: kg(t.PairKg, 0), Class: u.Format(check.Quantity{Value: t.Class, Unit: check.Class})}
	for i, a := range t.Line {
		row := pageAxle{N: fmt.Sprint(i + 1), Unit: clean(short(a.Unit, nameWidth)), Load: kg(a.Kg, 0), Ahead: "-", Behind: u.Format(check.Quantity{Value: a.AtM, Unit: check.Metre}), Tyres: "-"}
		if i > 0 {
			row.Ahead = u.Format(check.Quantity{Value: a.AheadM, Unit: check.Metre})
		}
		if a.Tyres > 0 {
			row.Tyres = fmt.Sprint(a.Tyres)
			if !math.IsNaN(a.TyreWidthM) {
				row.Tyres += fmt.Sprintf(" x %.0f mm", 1000*a.TyreWidthM)
			}
		}
		p.Rows = append(p.Rows, row)
	}
	p.Picture = axlePicture(t.Line, u)
	return p
}

// axlePicture draws the axles to scale with their loads above and their
// spacings below.
func axlePicture(line []Axle, u Units) template.HTML {
	if len(line) < 2 {
		return ""
	}
	const width, left = 1000.0, 30.0
	long := line[len(line)-1].AtM
	x := func(m float64) float64 { return left + (width-2*left)*m/long }
	var b strings.Builder
	fmt.Fprintf(&b, `<svg viewBox="0 0 %.0f 96" role="img" aria-label="axles to scale">`, width)
	fmt.Fprintf(&b, `<line x1="%.1f" y1="50" x2="%.1f" y2="50" class="deck"/>`, x(0), x(long))
	last := -100.0
	for i, a := range line {
		fmt.Fprintf(&b, `<circle cx="%.1f" cy="56" r="7"/>`, x(a.AtM))
		up := 38.0
		if x(a.AtM)-last < 46 && i%2 == 1 { // two rows where axles stand close
			up = 20
		}
		last = x(a.AtM)
		fmt.Fprintf(&b, `<text x="%.1f" y="%.0f">%s</text>`, x(a.AtM), up, template.HTMLEscapeString(bare(u, a.Kg, check.Kg)))
		if i > 0 {
			fmt.Fprintf(&b, `<text x="%.1f" y="%.0f">%s</text>`, (x(a.AtM)+x(line[i-1].AtM))/2, 82+10*float64(i%2), template.HTMLEscapeString(bare(u, a.AheadM, check.Metre)))
		}
	}
	b.WriteString(`</svg>`)
	return template.HTML(b.String()) // all of it numbers
}

// bare is a quantity without its unit.
func bare(u Units, v float64, unit check.Unit) string {
	return strings.Fields(u.Format(check.Quantity{Value: v, Unit: unit}))[0]
}
