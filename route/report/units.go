package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"drawbar/route/check"
)

// Units is a system for people's eyes; files are always SI.
type Units string

// Systems.
const (
	SI Units = "si"
	US Units = "us"
)

// Conversions, exact by definition of the international foot and pound.
const (
	footM   = 0.3048
	mileM   = 1609.344
	shortKg = 907.18474
	kipFtNm = 1355.8179483314004 // 1000 pound-force feet
	poundN  = 4.4482216152605
)

// Format prints a quantity to the precision it has, with its unit; a standard
// error is printed as the 95 % half-width. Forces, powers and load classes are
// needs and are rounded up, speeds down.
func (u Units) Format(q check.Quantity) string {
	if q.Unit == check.Literal {
		return q.Text
	}
	switch {
	case math.IsNaN(q.Value):
		return "unknown"
	case math.IsInf(q.Value, 0):
		return "without bound"
	}
	half := 1.96 * q.SE
	switch q.Unit {
	case check.Grade:
		return number(100*q.Value, 100*half, 1) + " %" + band(100*half, " %")
	case check.Metre:
		if u == US {
			return number(q.Value/footM, half/footM, 1) + " ft" + band(half/footM, "")
		}
		return number(q.Value, half, lengthDigits(q.Value)) + " m" + band(half, "")
	case check.Chain:
		return u.Chainage(q.Value)
	case check.Kg:
		if u == US {
			return number(q.Value/shortKg, half/shortKg, 1) + " short tons" + band(half/shortKg, "")
		}
		return number(q.Value/1000, half/1000, 1) + " t" + band(half/1000, "")
	case check.AtLeastKg:
		if u == US {
			return upTo(q.Value/shortKg, 1) + " short tons"
		}
		return upTo(q.Value/1000, 1) + " t"
	case check.AtLeastM:
		if u == US {
			return upTo(q.Value/footM, 1) + " ft"
		}
		return upTo(q.Value, 2) + " m"
	case check.AtMost:
		return plain(math.Floor(1000*q.Value)/10, 1) + " %"
	case check.Newton:
		if u == US {
			return plain(math.Ceil(q.Value/poundN/100-1e-9)*100, 0) + " lbf"
		}
		return plain(math.Ceil(q.Value/1000-1e-9), 0) + " kN"
	case check.Moment:
		if u == US {
			return plain(math.Ceil(q.Value/kipFtNm-1e-9), 0) + " kip-ft"
		}
		return plain(math.Ceil(q.Value/1000-1e-9), 0) + " kN m"
	case check.Ratio:
		return upTo(q.Value, 1)
	case check.Speed:
		if u == US {
			return downTo(q.Value*3600/mileM, 1) + " mph"
		}
		return downTo(3.6*q.Value, 1) + " km/h"
	case check.SpeedAtLeast:
		if u == US {
			return upTo(q.Value*3600/mileM, 1) + " mph"
		}
		return upTo(3.6*q.Value, 1) + " km/h"
	case check.Watt:
		return fmt.Sprintf("%.0f kW", math.Ceil(q.Value/1000-1e-9))
	case check.Joule:
		return plain(math.Ceil(q.Value/1e4-1e-9)*10, 0) + " kJ"
	case check.Celsius:
		if u == US {
			return fmt.Sprintf("%.0f F", 1.8*q.Value+32)
		}
		return fmt.Sprintf("%.0f C", q.Value)
	case check.Class:
		return fmt.Sprintf("%.0f", math.Ceil(q.Value-1e-9))
	case check.Degree:
		return fmt.Sprintf("%.0f deg", q.Value)
	case check.Share:
		return percent(q.Value)
	case check.Count:
		return fmt.Sprintf("%.0f", q.Value)
	}
	return fmt.Sprintf("%.4g %s", q.Value, q.Unit)
}

// number prints v with at most digits decimals, fewer where the half-width
// makes the last ones idle.
func number(v, half float64, digits int) string {
	switch {
	case half >= 2:
		digits = 0
	case half >= 0.2:
		digits = min(digits, 1)
	}
	return plain(v, digits)
}

// plain prints v to a number of decimals, never a negative zero.
func plain(v float64, digits int) string {
	s := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(s, "-0.") == "" {
		s = strings.TrimPrefix(s, "-")
	}
	return s
}

// band prints a half-width to one or two figures.
func band(half float64, unit string) string {
	if half == 0 || math.IsNaN(half) {
		return ""
	}
	digits := 1
	if half >= 2 {
		digits = 0
	} else if half < 0.1 {
		digits = 2
	}
	return fmt.Sprintf(" +-%.*f%s", digits, half, unit)
}

func lengthDigits(m float64) int {
	switch {
	case math.Abs(m) >= 100:
		return 0
	case math.Abs(m) >= 20:
		return 1
	}
	return 2
}

// percent prints a share, never 0 or 100 for what is neither.
func percent(share float64) string {
	switch p := 100 * share; {
	case math.IsNaN(share):
		return "unknown"
	case share > 0 && p < 1:
		return "under 1 %"
	case share < 1 && p > 99:
		return "over 99 %"
	case share < check.PassAt && p >= 94.5, share > check.FailAt && p < 5.5:
		return fmt.Sprintf("%.1f %%", min(p, 94.9)) // beside a bound, on its own side of it
	default:
		return fmt.Sprintf("%.0f %%", p)
	}
}

// Chainage prints a place along the way: kilometres to 10 m, or miles to 0.01.
func (u Units) Chainage(m float64) string {
	if u == US {
		return fmt.Sprintf("%.2f mi", m/mileM)
	}
	return fmt.Sprintf("%.2f km", m/1000)
}

// Height prints a height above the raster's datum, whole metres or feet.
func (u Units) Height(m float64) string {
	if math.IsNaN(m) {
		return "unknown height"
	}
	if u == US {
		return plain(m/footM, 0) + " ft"
	}
	return plain(m, 0) + " m"
}

// Fill replaces {name} in a template by the quantity of that name. A name
// without quantity stays as it stands: a test of the checks finds it.
func (u Units) Fill(template string, qs []check.Quantity) string {
	if !strings.Contains(template, "{") {
		return template
	}
	pairs := make([]string, 0, 2*len(qs))
	for _, q := range qs {
		pairs = append(pairs, "{"+q.Name+"}", u.Format(q))
	}
	return strings.NewReplacer(pairs...).Replace(template)
}

// Sentence is what a finding says.
func (u Units) Sentence(f *check.Finding) string { return u.Fill(f.Say, f.Q) }

// downTo rounds down to a number of decimals: a speed is a most.
func downTo(v float64, digits int) string {
	k := math.Pow10(digits)
	return plain(math.Floor(v*k+1e-9)/k, digits)
}

// upTo rounds up to a number of decimals: what is asked for must suffice.
func upTo(v float64, digits int) string {
	k := math.Pow10(digits)
	return fmt.Sprintf("%.*f", digits, math.Ceil(v*k-1e-9)/k)
}
