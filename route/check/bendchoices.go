package check

import (
	"slices"

	"drawbar/route"
	"drawbar/route/bend"
)

// widestOf is the widest carriageway to expect of a highway class, metres, used
// only to say where to look; a bend never fails by it. Choices.
var widestOf = map[string]float64{
	"motorway": 15, "trunk": 12, "primary": 11, "secondary": 9, "tertiary": 8,
	"unclassified": 7, "residential": 8, "service": 6, "track": 5,
}

const widestElse = 7

// bendAssumed lists what the check takes.
func bendAssumed() []route.Assumption {
	out := bend.Options{}.Assumptions()
	for _, c := range []route.Assumption{
		{Key: "bend.lane_m", Value: laneM, Unit: "m", Source: "width of an ordinary lane: a bend that asks for more is closed to others"},
		{Key: "bend.lane_margin_m", Value: laneMarginM, Unit: "m", Source: "kept free on either side of a lane"},
		{Key: "bend.stray_m", Value: strayM, Unit: "m", Source: "the steering axle may leave the drawn line by this where no arc goes with it"},
		{Key: "bend.tight_radius_m", Value: tightRadiusM, Unit: "m", Source: "on tighter curves close axle groups scrub"},
		{Key: "bend.most_swept_m", Value: mostSweptM, Unit: "m", Source: "beyond this a swept width has no meaning: the train cuts over the inside"},
		{Key: "bend.plain_radius_m", Value: plainRadiusM, Unit: "m", Source: "wider bends ask for no steering lock"},
		{Key: "bend.floor_radius_m", Value: floorRadiusM, Unit: "m", Source: "tightest circle of the steering axle where the file gives no lock"},
		{Key: "bend.corner_radius_m", Value: cornerRadiusM, Unit: "m", Source: "kerb at a junction corner"},
		{Key: "bend.shunt_m", Value: shuntM, Unit: "m", Source: "so much short of width, shunting is named as a measure"},
		{Key: "bend.class.else_m", Value: widestElse, Unit: "m", Source: "widest carriageway to expect of any other way"},
	} {
		c.Standing = "choice"
		out = append(out, c)
	}
	var classes []string
	for c := range widestOf {
		classes = append(classes, c)
	}
	slices.Sort(classes)
	for _, c := range classes {
		out = append(out, route.Assumption{Key: "bend.class." + c + "_m", Value: widestOf[c], Unit: "m", Standing: "choice",
			Source: "widest carriageway to expect of the class; where a bend asks for more it is looked at"})
	}
	return out
}
