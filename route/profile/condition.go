package profile

import (
	"fmt"
	"math"
)

// condition cuts the way into chains at the stations without height, estimates
// each, and writes the heights back.
func (p *Profile) condition(centre theta, read []Reading) {
	for _, run := range p.runs() {
		c := p.chainOf(run[0], run[1])
		var left []Reading
		ok := false
		if c != nil {
			c.centre = centre
			left, ok = c.estimate(read)
		}
		p.Contradicted = append(p.Contradicted, left...)
		for _, r := range left {
			p.Notes = append(p.Notes, fmt.Sprintf("incline of %.1f %% tagged from %.0f to %.0f m is left out: the heights contradict it",
				100*r.GradeRatio, r.At.FromM, r.At.ToM))
		}
		if !ok {
			for i := run[0]; i <= run[1]; i++ {
				p.Mark[i] = Missing
			}
			continue
		}
		p.chains = append(p.chains, *c)
		p.note(c)
		for i := run[0]; i <= run[1]; i++ {
			j, f, _ := c.find(p.ChainageM[i])
			p.ZM[i] = (1-f)*c.z[j] + f*c.z[j+1]
		}
	}
	for i, m := range p.Mark {
		if m == Missing {
			p.ZM[i] = math.NaN()
		}
	}
}

// runs are the first and last stations of the parts without a break.
func (p *Profile) runs() (out [][2]int) {
	n := len(p.Mark)
	for i := 0; i < n; i++ {
		if p.Mark[i] == Missing {
			continue
		}
		j := i
		for j+1 < n && p.Mark[j+1] != Missing {
			j++
		}
		out = append(out, [2]int{i, j})
		i = j
	}
	return out
}

// fineCellM is the cell up to which a height beside a bridge or portal is not
// used: there the raster shows the other side of the portal or the ground
// falling away under the deck. On coarser cells it is used with twice its error:
// it is all there is, and the cell mixes both. Choice.
const fineCellM = 10.0

// chainOf makes the nodes of a run of stations. Inside a carried stretch only
// its two ends are nodes. Elsewhere a station is observed when it is a cell or
// more from the last observed one: nearer ones repeat it.
func (p *Profile) chainOf(from, to int) *chain {
	c := &chain{corrM: p.correlation(from, to)}
	lastSeen := math.Inf(-1)
	sum := 0.0
	for i := from; i <= to; i++ {
		s, cellM := p.ChainageM[i], p.Sources[p.Source[i]].CellM
		carried := p.Mark[i] == Carried
		if carried && i > from && i < to && p.Mark[i-1] == Carried && p.Mark[i+1] == Carried {
			continue
		}
		near := carried || p.nearCarried(i, from, to, cellM)
		if near && !carried && cellM <= fineCellM {
			continue
		}
		c.at, c.sd, c.src = append(c.at, s), append(c.sd, p.errorAt(i, near)), append(c.src, p.Source[i])
		unseen := math.IsNaN(p.RawZM[i]) || (carried && (cellM <= fineCellM || !p.structure[i])) ||
			(s-lastSeen < cellM*0.999 && !carried)
		if unseen || s-lastSeen < cellM/4 {
			c.y = append(c.y, math.NaN())
			continue
		}
		lastSeen = s
		c.seen = append(c.seen, len(c.at)-1)
		c.y = append(c.y, p.RawZM[i])
		sum += square(c.sd[len(c.sd)-1])
	}
	if len(c.at) < 2 {
		return nil
	}
	c.seM = math.Sqrt(sum / float64(max(len(c.seen), 1)))
	return c
}

// correlation is the longest correlation length of the rasters of a run.
func (p *Profile) correlation(from, to int) (m float64) {
	for i := from; i <= to; i++ {
		src := &p.Sources[p.Source[i]]
		m = max(m, src.CorrM, src.CellM)
	}
	return m
}

// errorAt is the stated standard error of the height at a station: the
// raster's own, and what a hillside adds when the line or the cell is off the
// road; twice as much beside a structure.
func (p *Profile) errorAt(i int, near bool) float64 {
	src := p.Sources[p.Source[i]]
	sd := math.Hypot(src.SEM, src.HillsideSEM(p.slopeAt(i), p.LineSEM))
	if near {
		sd *= 2
	}
	return sd
}

// slopeAt is the cross slope of the hillside at a station, 0 where the way has
// none at all.
func (p *Profile) slopeAt(i int) float64 {
	if p.CrossSlope == nil {
		return 0
	}
	return p.CrossSlope[i]
}

func square(x float64) float64 { return x * x }

// nearCarried reports whether a station is less than a cell from a carried
// one.
func (p *Profile) nearCarried(i, from, to int, cellM float64) bool {
	s := p.ChainageM[i]
	for j := i - 1; j >= from && s-p.ChainageM[j] < cellM; j-- {
		if p.Mark[j] == Carried {
			return true
		}
	}
	for j := i + 1; j <= to && p.ChainageM[j]-s < cellM; j++ {
		if p.Mark[j] == Carried {
			return true
		}
	}
	return false
}

// handOvers notes where the heights come from another raster, and the step of
// the sampled height there beside the grade of the road.
func (p *Profile) handOvers() {
	for i := 1; i < len(p.Source); i++ {
		if p.Source[i] == p.Source[i-1] || p.Mark[i] != Measured || p.Mark[i-1] != Measured {
			continue
		}
		p.Notes = append(p.Notes, fmt.Sprintf("heights go from %s to %s at %.0f m; the sampled height changes by %.1f m within %.0f m there",
			p.Sources[p.Source[i-1]].Name, p.Sources[p.Source[i]].Name, p.ChainageM[i], p.RawZM[i]-p.RawZM[i-1], p.ChainageM[i]-p.ChainageM[i-1]))
	}
}

// note records what was learned.
func (p *Profile) note(c *chain) {
	s := c.stretch()
	p.Estimated = append(p.Estimated, fmt.Sprintf(
		"heights from %.0f to %.0f m estimated with raster error %.2g m (stated %.2g m), grade spread %.2g %% over %.0f m",
		s.FromM, s.ToM, c.fit.scale*c.seM, c.seM, c.fit.gradeSD*100, c.fit.gradeM))
}

// Covered is the share of the way that has a height.
func (p *Profile) Covered() float64 {
	covered := 0.0
	for i := range p.chains {
		covered += p.chains[i].stretch().LengthM()
	}
	return covered / p.LengthM()
}
