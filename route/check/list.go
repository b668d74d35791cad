package check

// Check is one check: its name, where its rule comes from, and its function.
// Run visits the window once.
type Check struct {
	Name, Source string
	Run          func(*Situation, *Sink)
}

// List holds the checks in the order of their findings. Adding a check is a
// file and its line here.
var List = []Check{
	{"void", "own rule: no height, no verdict", void},
	{"climb", "statics of the train on a grade, adhesion and rolling tables", climb},
	{"start", "as climb, with acceleration, rotating mass and break-away", start},
	{"descent", "statics of the train on a grade down, retarder and engine drag; heat by a lumped brake", descent},
	{"hold", "statics of the parked train, grip of the parked axles and force of the brake", hold},
	{"uplift", "statics of the train on a grade; steering floor from memory", uplift},
	{"suspect", "own rule: heights that rather show a structure or a fault of the raster", suspect},
	{"posting", "limits tagged on the way, OpenStreetMap semantics", posting},
	{"bridge", "posted limits; load class, expedient rule (FM 3-34.170 E-11)", bridge},
	{"overhead", "posted clear height less a working margin", overhead},
	{"ford", "own rule: depth and bed are looked at on the spot", ford},
	{"gate", "own rule: a barrier is looked at on the spot", gate},
	{"crossing", "own rule: the railway is asked", crossing},
	{"wire", "safe approach of 29 CFR 1926.1408 table A, as a caution", wire},
	{"culvert", "posted limits; own rule: its owner is asked", culvert},
	{"unbridged", "own rule: what is crossed without a structure is asked", unbridged},
	{"area", "areas of the file of structures, by their properties", area},
	{"sources", "own rule: of two sources the stricter counts and both are named", sources},
	{"structures", "own rule: a bare line hides its structures", looked},
	{"bend", "low-speed path of articulated units; radius of the line with its error", bendCheck},
	{"crossfall", "overturning of rigid bodies, grip sideways; practice from memory", crossfall},
	{"width", "tagged width of the way against the widest part of the train", width},
	{"hang-up", "underside on its rests over the road; crossings by the usual rule", hangUp},
	{"edge", "own rule: swept path near an edge where the ground falls away", edge},
	{"access", "access, one-way and smoothness tags, and tags of what is no road, OpenStreetMap meaning", access},
	{"ground", "cone index method for soft ground, remembered forms", softGround},
	{"wires", "least clearance of loads from lines, OSHA 1926.1408 Table A", wires},
	{"rating", "axle ratings of the transporter's file", rating},
}

// notYet are checks that users expect and this version does not make; each is
// said once a route, so that nobody takes silence for a pass.
var notYet = []struct{ name, long, closing string }{
	{"ride", "setting of the ride height", "set it by the maker's book: raised where the train grounds, lowered under what is low"},
}

// notCovered says them.
func NotCovered(s *Situation, k *Sink) {
	for _, n := range notYet {
		k.check = n.name
		f := standing(s, "{matter}: not checked by this version", n.closing, 1)
		f.Q = append(f.Q, Quantity{Name: "matter", Text: n.long, Unit: Literal})
		k.Place(f)
	}
}

// Names are the names of all checks, those not made included.
func Names() (out []string) {
	for i := range List {
		out = append(out, List[i].Name)
	}
	for _, n := range notYet {
		out = append(out, n.name)
	}
	return out
}

// Made reports whether this version makes the check of a name.
func Made(name string) bool {
	for i := range List {
		if List[i].Name == name {
			return true
		}
	}
	return false
}
