// Package route holds the line on the ground: what a file said about a way
// ([Route], its tags already typed) and the same line measured ([Alignment]:
// chainage along the WGS84 ellipsoid, turn at the vertices, one direction).
//
// Coordinates are longitude, latitude in degrees, WGS84. Lengths are metres,
// masses kilograms, angles radians unless a name says otherwise.
package route

import (
	"github.com/paulmach/orb"
)

// Route is one way as its file gave it. It is immutable once read.
type Route struct {
	ID   string // unique within a run
	Name string // as the file has it, may be empty
	File string // base name of the file, for messages
	// Line has at least two vertices, no two neighbours equal. Longitudes are
	// continuous: a line over the 180 degree meridian runs past +-180.
	Line orb.LineString
	// Z holds the heights the file carried, one a vertex, metres as the file
	// says, NaN where a position had none; nil if no position had one.
	Z []float64
	// Pieces cover the line without gap, in order: Pieces[0].First is 0, each
	// First is the Last of the one before, the last Last is len(Line)-1.
	Pieces []Piece
	// Notes say what the reader changed or doubts (duplicates dropped, a
	// fourth ordinate ignored), one sentence each.
	Notes []string
}

// Piece is a run of vertices with the same tags.
type Piece struct {
	First, Last int // vertices of the line
	Tags        Tags
}

// Tags are the attributes of a way that Drawbar reads, OpenStreetMap keys and
// value syntax. The zero value means: nothing is known about this stretch.
type Tags struct {
	// Mapped is true where the source describes the way itself (it carries a
	// highway key, or is a bridge, tunnel or ford), so that a bridge would have
	// been tagged. A bare line is not Mapped: its structures were not
	// looked for.
	Mapped bool

	Highway    string
	Surface    string
	Tracktype  string
	Smoothness string
	Name       string
	Junction   string // "roundabout", "circular"; empty where absent

	// Bridge, Tunnel, Ford and Covered hold the raw value ("yes", "viaduct"),
	// empty where absent or "no".
	Bridge, Tunnel, Ford, Covered string
	Layer                         int
	// BridgeStructure and BridgeMaterial hold bridge:structure and
	// bridge:material (or material) of a bridge, lower case; BridgeSpans is
	// bridge:spans, 0 where absent or unreadable.
	BridgeStructure, BridgeMaterial string
	BridgeSpans                     int
	Oneway                          string // "", "yes", "-1"

	// Access is the tag that closes the way to a heavy vehicle or ties it to a
	// permission, "hgv=no"; empty when none does.
	Access string
	// Doubts are tags that leave a question about the way itself, each with its
	// reason: "highway=steps: steps, not a road for a heavy vehicle".
	Doubts []string

	// Other is what the line is where it is no road, "railway=rail"; empty for a
	// road, or where no tag says.
	Other    string
	VoltageV float64 // of a power line, 0 when not known

	MaxMassKg       Limit // maxweight: actual mass
	MaxRatedMassKg  Limit // maxweightrating: plated mass
	MaxAxleKg       Limit // maxaxleload
	MaxBogieKg      Limit // maxbogieweight
	MaxHeightM      Limit // maxheight
	MaxWidthM       Limit // maxwidth
	MaxLengthM      Limit // maxlength
	WidthM          Limit // width: carriageway
	DepthM          Limit // depth, of a ford
	SpanM           Limit // bridge:span, largest
	InclineRatio    Limit // incline, rise over run along the line's direction
	ClassWheeled    Limit // mlc:wheeled or mlc, two-way: a class number
	ClassWheeledOne Limit // mlc:wheeled_oneway or mlc:oneway
}

// LimitState says what is known of a limit.
type LimitState uint8

// The states of a limit. Only None means that the source says there is no
// limit; even so an ordinary legal limit may hold.
const (
	Absent     LimitState = iota // no such key, or a word that gives no figure (Raw has it): nothing is known
	None                         // the source says: no limit
	Known                        // Value holds it
	Unreadable                   // there is a limit but its figure cannot be read; Raw holds the text
)

// Limit is a figure a way may carry. Value is meaningful only when Known, in
// the unit of the field's name.
type Limit struct {
	Value float64
	State LimitState
	Raw   string // text of the tag, empty without one
}

// Assumption is a value that was taken because no input gave it, or that
// rests on memory. terrain and vehicle declare the same struct: Go converts
// between them and stops compiling if they drift.
type Assumption struct {
	Key      string // "profile.step_m"
	Unit     string
	Source   string // where the value comes from, in words
	Standing string // given, read, derived, memory, choice
	Value    float64
}

// Stretch is a part of a way by chainage, metres, FromM <= ToM.
type Stretch struct{ FromM, ToM float64 }

// LengthM is the length of the stretch.
func (s Stretch) LengthM() float64 { return s.ToM - s.FromM }

// Overlaps reports whether the two share more than a point.
func (s Stretch) Overlaps(t Stretch) bool { return s.FromM < t.ToM && t.FromM < s.ToM }
