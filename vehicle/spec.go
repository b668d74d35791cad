package vehicle

// Spec is a transporter or a helper as its file says it. Every field is
// optional here; [New] says which it needs. Masses are kg, lengths metres,
// heights metres above the road, powers kW: the unit stands in the key.
//
// Three levels of knowledge: plate (axles, spacings, masses, driven axles,
// power, size), sheet (+ gears, retarder, couplings, turning), measured
// (+ centre of gravity, underside, brakes). Level, when given, is a claim that
// New holds the file to; when absent New says which level the file reaches.
type Spec struct {
	Kind  string     `yaml:"kind"` // transporter or helper
	Name  string     `yaml:"name"`
	Note  string     `yaml:"note"`
	Level string     `yaml:"level"`
	Units []UnitSpec `yaml:"units"` // front to rear
}

// UnitSpec is one body of the train. Distances along (x, at) run backwards
// from the foremost axle of a tractor, rigid or full trailer, from the kingpin
// of a semi-trailer. Masses of the unit are without its load.
type UnitSpec struct {
	Name string `yaml:"name"`
	Kind string `yaml:"kind"` // tractor, rigid, semi-trailer, full-trailer

	MassKg      *float64 `yaml:"mass_kg"`
	MassKnown   string   `yaml:"mass_known"`    // weighed, plate, estimated; plate when absent
	MassErrorKg *float64 `yaml:"mass_error_kg"` // 95 % half-width; overrides mass_known

	// One of the three places the unladen centre of gravity along.
	CGXM          *float64 `yaml:"cg_x_m"`
	FrontMassKg   *float64 `yaml:"front_mass_kg"`   // unladen on the front axle group
	KingpinMassKg *float64 `yaml:"kingpin_mass_kg"` // unladen on the kingpin

	CGYM      *float64 `yaml:"cg_y_m"` // off the middle, left positive
	CGHeightM *float64 `yaml:"cg_height_m"`

	FrontOverhangM   *float64 `yaml:"front_overhang_m"` // body ahead of the origin
	RearOverhangM    *float64 `yaml:"rear_overhang_m"`  // body behind the rearmost axle
	WidthM           *float64 `yaml:"width_m"`
	HeightM          *float64 `yaml:"height_m"`
	TurnOuterRadiusM *float64 `yaml:"turn_outer_radius_m"` // wall to wall
	WadingDepthM     *float64 `yaml:"wading_depth_m"`

	Axles     []AxleSpec    `yaml:"axles"`
	Hitch     *HitchSpec    `yaml:"hitch"` // fifth wheel or rear coupling
	Bar       *BarSpec      `yaml:"bar"`   // to the unit ahead
	Front     *EndSpec      `yaml:"front_coupling"`
	Rear      *EndSpec      `yaml:"rear_coupling"`
	Power     *PowerSpec    `yaml:"power"`
	Winch     *WinchSpec    `yaml:"winch"`
	Brakes    *BrakeSpec    `yaml:"brakes"`
	Steering  *SteeringSpec `yaml:"steering"`
	Support   *SupportSpec  `yaml:"support"`
	Underside []UnderSpec   `yaml:"underside"`
	Load      *LoadSpec     `yaml:"load"`
}

// AxleSpec is one axle or axle line.
type AxleSpec struct {
	AtM           *float64 `yaml:"at_m"`
	Group         string   `yaml:"group"` // front or rear; all axles of a unit or none
	Share         *float64 `yaml:"share"` // relative share of its group's load
	Driven        *bool    `yaml:"driven"`
	Braked        *bool    `yaml:"braked"`
	Parked        *bool    `yaml:"parked"`       // the parking brake acts on it
	SideMissing   string   `yaml:"side_missing"` // left or right: running gear lost, locked up or let down there, it carries nothing
	RatedKg       *float64 `yaml:"rated_kg"`     // both sides together
	Tyres         *int     `yaml:"tyres"`
	TyreWidthM    *float64 `yaml:"tyre_width_m"`
	TyreDiameterM *float64 `yaml:"tyre_diameter_m"`
}

// HitchSpec is where a unit carries or pulls the next one.
type HitchSpec struct {
	AtM     *float64 `yaml:"at_m"`
	HeightM *float64 `yaml:"height_m"`
}

// BarSpec is the bar between a unit and the one ahead of it.
type BarSpec struct {
	LengthM *float64 `yaml:"length_m"` // from eye to eye
	HeightM *float64 `yaml:"height_m"`
	AheadM  *float64 `yaml:"ahead_m"` // this unit's eye ahead of its foremost axle
	RatedKN *float64 `yaml:"rated_kn"`
}

// EndSpec is a towing point at the front or rear end of a unit, and what it is
// rated for: a helper may push a train, or hold it back, only through rated ones.
type EndSpec struct {
	PushKN  *float64 `yaml:"push_kn"`  // pushed at
	HoldKN  *float64 `yaml:"hold_kn"`  // pulled at
	HeightM *float64 `yaml:"height_m"` // above the road
}

// PowerSpec is an engine and what it drives.
type PowerSpec struct {
	PowerKW         *float64    `yaml:"power_kw"`
	RatedRPM        *float64    `yaml:"rated_rpm"`
	TorqueNm        *float64    `yaml:"torque_nm"` // peak
	TorqueRPM       *float64    `yaml:"torque_rpm"`
	StartTorqueNm   *float64    `yaml:"start_torque_nm"` // engine torque at clutch engagement or converter stall
	EfficiencyRatio *float64    `yaml:"efficiency_ratio"`
	TyreRadiusM     *float64    `yaml:"tyre_radius_m"` // loaded
	InertiaKgM2     *float64    `yaml:"inertia_kg_m2"` // engine with flywheel
	StartBy         string      `yaml:"start_by"`      // clutch or converter; clutch when absent
	StallRatio      *float64    `yaml:"stall_ratio"`   // of a converter: its torque out over the engine's at rest
	SlipLimitKJ     *float64    `yaml:"slip_limit_kj"` // heat of starts that the clutch, or the converter's oil, takes before it must cool
	SlipCoolKW      *float64    `yaml:"slip_cool_kw"`  // heat carried off while it slips
	Turbo           *bool       `yaml:"turbo"`
	Locked          *bool       `yaml:"locked"` // differentials between the driven axles locked
	RetarderKW      *float64    `yaml:"retarder_kw"`
	RetarderAt      string      `yaml:"retarder_at"`    // engine or shaft: ahead of the gearbox, or between it and the final drive
	RetarderNm      *float64    `yaml:"retarder_nm"`    // most torque of one at the shaft
	EngineDragNm    *float64    `yaml:"engine_drag_nm"` // of the engine without fuel, at its crank, retarder off
	GearRatios      []float64   `yaml:"gear_ratios"`
	Ranges          []RangeSpec `yaml:"ranges"` // transfer box; one of ratio 1 when absent
	FinalRatio      *float64    `yaml:"final_ratio"`
}

// BrakeSpec is what the brakes of a unit can, all its axles together. The three
// of heat go together.
type BrakeSpec struct {
	ServiceKN *float64 `yaml:"service_kn"` // service brakes, at the road, all axles of the unit together
	ParkKN    *float64 `yaml:"park_kn"`    // parking brake, at the road
	MassKg    *float64 `yaml:"mass_kg"`    // drums or discs, what takes up the heat
	CoolWK    *float64 `yaml:"cool_w_k"`   // heat given off at crawl, for each degree above the air
	LimitC    *float64 `yaml:"limit_c"`    // hottest that its maker allows
	HeatJKgK  *float64 `yaml:"heat_j_kg_k"`
}

// RangeSpec is one step of the transfer box.
type RangeSpec struct {
	Name  string   `yaml:"name"`
	Ratio *float64 `yaml:"ratio"`
}

// SteeringSpec is the steering of a trailer's lines.
type SteeringSpec struct {
	Ratio  *float64 `yaml:"ratio"` // steer of the rearmost line over articulation
	MaxDeg *float64 `yaml:"max_deg"`
}

// SupportSpec is what a unit stands on across.
type SupportSpec struct {
	HalfWidthM *float64 `yaml:"half_width_m"`
	Fields     *int     `yaml:"fields"`
}

// WinchSpec is a unit's winch and rope.
type WinchSpec struct {
	PullKN        *float64 `yaml:"pull_kn"` // on the bare drum
	DrumM         *float64 `yaml:"drum_m"`  // diameter of the bare drum
	WidthM        *float64 `yaml:"width_m"` // between its flanges
	RopeM         *float64 `yaml:"rope_m"`  // length
	RopeDiameterM *float64 `yaml:"rope_diameter_m"`
	BreakKN       *float64 `yaml:"break_kn"`  // least breaking force of the rope
	AnchorKN      *float64 `yaml:"anchor_kn"` // what the machine holds, blade or anchors set
}

// UnderSpec is a measured point of the underside.
type UnderSpec struct {
	XM      *float64 `yaml:"x_m"`
	HeightM *float64 `yaml:"height_m"`
}

// LoadSpec is what stands on a unit.
type LoadSpec struct {
	Name           string   `yaml:"name"`
	MassKg         *float64 `yaml:"mass_kg"`
	MassKnown      string   `yaml:"mass_known"`
	MassErrorKg    *float64 `yaml:"mass_error_kg"`
	CGXM           *float64 `yaml:"cg_x_m"`
	CGYM           *float64 `yaml:"cg_y_m"`
	CGHeightM      *float64 `yaml:"cg_height_m"`
	TopHeightM     *float64 `yaml:"top_height_m"`
	TopErrorM      *float64 `yaml:"top_error_m"` // 95 % half-width
	WidthM         *float64 `yaml:"width_m"`
	FrontOverhangM *float64 `yaml:"front_overhang_m"` // beyond the unit's front
	RearOverhangM  *float64 `yaml:"rear_overhang_m"`  // beyond the unit's rear
}
