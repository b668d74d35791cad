// Package vehicle holds the loaded combination. A [Spec] is what a person
// wrote, every field optional; [New] makes of it a [Combination]: complete, SI,
// immutable. Axle loads come from statics. [Couple] makes a helper and a train
// one more Combination, so that every check runs on it unchanged.
package vehicle

// G is standard gravity, m/s2, exact (ISO 80000-3).
const G = 9.80665

// Assumption is a value taken because the file did not give it. Plain struct,
// the same as route.Assumption: Go converts.
type Assumption struct {
	Key      string
	Unit     string
	Source   string
	Standing string // given, read, derived, memory, choice
	Value    float64
}

// Combination is a loaded train ready to compute with. Distances along are
// metres behind its foremost axle, heights metres above the road, masses kg.
// A quantity the file did not give and no honest default exists for is NaN,
// and Lacking names the field that would give it.
type Combination struct {
	Name  string
	Kind  string // transporter or helper, as its file says
	Level string // plate, sheet or measured: how much the file says
	Units []Unit // front to rear
	Axles []Axle // front to rear, all units

	GrossKg   float64
	GrossSEKg float64 // standard error of the gross mass

	FrontM, RearM float64 // overhang before the foremost axle, behind the rearmost axle
	LengthM       float64 // overall
	WidthM        float64 // widest, load included
	HeightM       float64 // highest, load included, at ride height
	HeightSEM     float64

	// TurnOuterRadiusM is the wall-to-wall radius of the foremost unit, NaN
	// when not given.
	TurnOuterRadiusM float64

	Lacking []Lack
	Assumed []Assumption
}

// Lack names a field that a check needs and the file does not have.
type Lack struct {
	Check string // name of the check, "overhead"
	Field string // path in the file, "load.top_height_m"
}

// Lacks returns the first field that the named check would need, "" when the
// file has all of them.
func (c *Combination) Lacks(check string) string {
	for _, l := range c.Lacking {
		if l.Check == check {
			return l.Field
		}
	}
	return ""
}

// UnitKind says how a unit is carried.
type UnitKind string

// Kinds of unit.
const (
	Tractor     UnitKind = "tractor"      // powered, carries a kingpin or a bar
	Rigid       UnitKind = "rigid"        // powered or not, carries its own load
	SemiTrailer UnitKind = "semi-trailer" // front carried by the unit ahead
	FullTrailer UnitKind = "full-trailer" // all its weight on its own axles
)

// Unit is one body of the train. Its own x axis runs backwards from the
// unit's origin: the foremost axle of a tractor, rigid or full trailer, the
// kingpin of a semi-trailer. AtM places the origin in the train.
type Unit struct {
	Name string
	Kind UnitKind
	AtM  float64

	MassKg, CGXM, CGHM float64 // all that this unit weighs, its load included
	CGYM               float64 // centre of gravity off the middle, left positive
	LoadKg, LoadSEKg   float64 // of it the load
	// LoadXM, LoadYM and LoadHM are the load's own centre of gravity; 0 without one.
	LoadXM, LoadYM, LoadHM float64

	First, Last int // its axles in Combination.Axles
	// GroupXM are the centres of the front and rear support of a tractor or
	// rigid (two values) or of the axle group of a semi-trailer (one value),
	// on the unit's own axis: the points that statics balances about.
	GroupXM []float64
	// Lopsided: an axle of the unit carries on one side only. SideXM are then the
	// resultants of each group's left and right side, NaN for a side without a
	// wheel; both equal GroupXM otherwise.
	Lopsided bool
	SideXM   [2][2]float64

	HitchXM, HitchHM float64 // where it carries or could pull the next unit; NaN when it has no hitch
	ByBar            bool    // coupled to the unit ahead by a bar: no weight carried
	BarHeightM       float64 // of that bar above the road; NaN without a bar, like the four below
	BarLengthM       float64 // from eye to eye
	BarAheadM        float64 // this unit's eye ahead of its origin
	BarRatedN        float64 // rating of that bar when pulled, NaN when not given
	BarPushN         float64 // what may be pushed through it, 0 for a rope and what nobody rated; NaN when not looked at

	FrontCoupling, RearCoupling Coupling // where a helper may push or hold back

	FrontOverhangM, RearOverhangM float64 // of the body, ahead of the origin (positive) and behind the rearmost axle
	WidthM                        float64 // widest of body and load, NaN when not known
	TopM                          float64 // highest of body and load, NaN when not known
	TopSEM                        float64 // its standard error; 0 without a load
	Body                          Body    // the outline without its load

	Underside         []UnderPoint // front to rear, empty when not measured
	SupportHalfWidthM float64      // half spacing of the lines it tips about, NaN when not given
	SupportFields     int          // pressure fields of a hydraulic suspension, 0 when not given
	WadingM           float64      // deepest water it may stand in, NaN when not given

	Power     *Driveline // nil for a unit without an engine
	Winch     *Winch     // nil for a unit without one
	Brakes    Brakes
	Steerable SteeredAxles
}

// Coupling is a towing point at one end of a unit; NaN where its file says nothing.
type Coupling struct {
	PushN   float64 // push it is rated for, along the road
	HoldN   float64 // pull it is rated for
	HeightM float64 // above the road
}

// Body is the outline of a unit without its load; NaN where not known.
type Body struct{ FrontOverhangM, RearOverhangM, WidthM, TopM float64 }

// Brakes are what the brakes of a unit can, all its axles together; NaN where
// not given.
type Brakes struct {
	ServiceN float64 // service brakes, newtons at the road
	ParkN    float64 // parking brake, newtons at the road
	MassKg   float64 // what takes up the heat
	HeatJKgK float64 // its specific heat, J/(kg K)
	CoolWK   float64 // heat given off, W for each degree above the air
	LimitC   float64 // hottest allowed, degrees Celsius
}

// HeatKnown reports whether the file says how hot these brakes get.
func (b *Brakes) HeatKnown() bool { return b.MassKg > 0 }

// UnderPoint is a point of a unit's underside at ride height.
type UnderPoint struct {
	XM      float64 // on the unit's own axis
	HeightM float64 // above the road
}

// SteeredAxles describes the steering of a trailer's lines.
type SteeredAxles struct {
	Ratio  float64 // steer of the rearmost line over articulation, 0 for fixed axles
	MaxRad float64 // at most this much
}

// Axle is one axle or axle line.
type Axle struct {
	AtM     float64 // behind the foremost axle of the train
	Kg      float64 // static load on the level
	RatedKg float64 // of both sides together; NaN when not given
	Unit    int
	Group   int     // 0 front, 1 rear within the unit
	Share   float64 // relative share of its group's load, 1 unless given
	Driven  bool
	Braked  bool
	Parked  bool    // the parking brake acts on it
	Missing [2]bool // left and right: that side carries nothing
	Tyres   int     // 0 when not given

	TyreWidthM, TyreDiameterM float64 // NaN when not given
}

// Winch is a winch and its rope; package pull reckons with it.
type Winch struct {
	PullN   float64 // on the bare drum, the first layer; above 0
	DrumM   float64 // diameter of the bare drum, above 0
	WidthM  float64 // of the drum between its flanges, above the rope's diameter
	RopeM   float64 // length of the rope, above 0
	RopeD   float64 // its diameter, above 0
	BreakN  float64 // its least breaking force; NaN when not known
	AnchorN float64 // what the anchored machine holds; NaN when not known
}

// Driveline is what turns fuel into pull at the wheels. Ratios are engine
// turns over wheel turns.
type Driveline struct {
	RatedPowerW   float64
	RatedRPM      float64
	PeakTorqueNm  float64
	PeakTorqueRPM float64
	StartTorqueNm float64 // engine torque at clutch engagement or converter stall; NaN when not given
	Efficiency    float64 // crank to wheel
	RadiusM       float64 // loaded radius of the driven wheels
	EngineInertia float64 // kg m2
	// Converter: it starts by a torque converter, not by a clutch; StallRatio is
	// its torque out over the engine's at rest, 1 for a clutch.
	Converter  bool
	StallRatio float64
	SlipLimitJ float64 // heat of starts that it takes before it must cool; NaN when not given
	SlipCoolW  float64 // of that carried off while it slips; 0 when not given
	Gears      []Gear  // highest total ratio first; empty at level plate
	// OpenAxles: the differentials between the driven axles are open, so that all
	// of them pull no more than the most lightly loaded one has grip for.
	OpenAxles       bool
	TurboBoosted    bool    // altitude derating does not apply as for a naturally aspirated engine
	RetarderPowerW  float64 // NaN when not given
	RetarderCrankNm float64 // most torque of the retarder counted at the crank; +Inf where the gears do not multiply it
	RetarderShaftNm float64 // most torque of it at the shaft into the final drive; +Inf for one at the engine
	FinalRatio      float64 // shaft turns over wheel turns; NaN without a gear list
	DragTorqueNm    float64 // of the engine without fuel, at the crank; NaN without a gear list
	DragPowerW      float64 // the same as power at rated speed, used only without a gear list

	// CrawlMS is the speed, m/s, at which the pull of a unit without a gear
	// list is taken as power times efficiency over speed; slower it pulls no
	// more. StartShare is the share of that pull it has when it starts from
	// rest. Both are used only while Gears is empty.
	CrawlMS, StartShare float64
	// RetardMS is the speed, m/s, at which a retarder comes to its power where
	// there is no gear list; slower it holds no more.
	RetardMS float64
}

// Gear is one step of the driveline.
type Gear struct {
	Name  string // "low 1"
	Ratio float64
}
