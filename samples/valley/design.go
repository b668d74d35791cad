package valley

import "math"

// tag is one OpenStreetMap key and value.
type tag struct{ key, value string }

// stretch is a part of a road with tags of its own, laid over the road's. It
// ends at the road's end at the latest.
type stretch struct {
	fromM, toM float64
	tags       []tag
	// gap says that the ground does not carry the road here: a bridge deck
	// above it, or a tunnel below it.
	gap bool
}

// design is what the engineer of the invented valley drew for one road.
type design struct {
	name    string
	leaves  string // the road it starts on, on that road's tangent
	joins   string // the road it ends on, on that road's tangent
	meets   string // the road at whose end it ends, at any angle
	corners []corner
	// grades are the points of the profile between the ends; heights of the
	// ends are startM and endM where the end is free, else the other road's.
	grades       grades
	startM, endM float64
	// leaveHoldM and joinHoldM are the lengths on which the profile keeps to
	// the other road's grade, because the two lie side by side there.
	leaveHoldM, joinHoldM float64
	tags                  []tag
	stretches             []stretch
}

// designs is every road of the valley, each after those it leaves or joins.
// Places, heights and ratings are invented.
var designs = []design{
	{
		name:   "Valley Road",
		startM: 44, endM: 88.75,
		corners: []corner{
			{1150, 250, 0}, {1150, 620, 150}, {1440, 1000, 150}, {1440, 2050, 250}, {1380, 2700, 120}, {800, 2700, 0},
		},
		grades: grades{{430, 48.3, 80}, {850, 46, 80}, {1330, 46, 80}, {1960, 62.38, 100}, {2560, 82, 100}, {3010, 88.75, 60}},
		tags:   []tag{{"highway", "secondary"}, {"surface", "asphalt"}, {"lanes", "2"}, {"width", "7.5"}},
		stretches: []stretch{
			{1226, 1256, []tag{{"bridge", "yes"}, {"layer", "1"}, {"width", "8"}, {"mlc", "150"}, {"maxweight", "160"}}, true},
		},
	},
	{
		name:   "Mill Lane",
		leaves: "Valley Road", leaveHoldM: 90,
		joins: "Valley Road", joinHoldM: 90,
		corners: []corner{
			{1150, 620, 0}, {1280.5, 791, 150}, {1230, 1200, 150}, {1230, 1800, 150}, {1422, 2245, 150}, {1380, 2700, 0},
		},
		grades: grades{{560, 57, 80}, {800, 57, 80}},
		tags:   []tag{{"highway", "tertiary"}, {"surface", "asphalt"}, {"width", "6.5"}},
		stretches: []stretch{
			{701, 733, []tag{{"bridge", "yes"}, {"layer", "1"}, {"maxweight", "40"}}, true},
		},
	},
	{
		name:   "Quarry Road",
		leaves: "Valley Road", leaveHoldM: 90,
		joins: "Valley Road", joinHoldM: 180,
		corners: []corner{
			{1440, 1000, 0}, {1440, 1640, 120}, {1800, 1930, 120}, {1880, 2350, 150}, {1650, 2780, 120}, {1100, 2700, 200}, {800, 2700, 0},
		},
		// 18 % between 540 m and 780 m: README.md of the samples says why.
		grades: grades{{500, 55, 80}, {820, 112.6, 80}, {930, 112.6, 60}},
		tags:   []tag{{"highway", "unclassified"}, {"surface", "gravel"}, {"width", "7"}},
		stretches: []stretch{
			{440, 880, []tag{{"surface", "dirt"}}, false},
			{1600, math.Inf(1), []tag{{"surface", "asphalt"}}, false},
		},
	},
	{
		name:   "Terrace Road",
		leaves: "Valley Road", leaveHoldM: 90,
		joins: "Quarry Road", joinHoldM: 90,
		// The hairpin: two right angles of 8 m radius without a straight between.
		corners: []corner{
			{1440, 1000, 0}, {1440, 1850, 120}, {1538, 2186, 8}, {1553.36, 2181.52, 8}, {1544.4, 2150.8, 80},
			{1580, 2005, 60}, {1714, 1990, 60}, {1570, 2420, 150}, {1480, 2755.273, 80}, {1100, 2700, 0},
		},
		grades: grades{{480, 66, 60}},
		tags:   []tag{{"highway", "tertiary"}, {"surface", "asphalt"}, {"width", "6.5"}},
		stretches: []stretch{
			{345, 395, []tag{{"width", "5"}}, false},
		},
	},
	{
		name:   "Upper Road",
		leaves: "Valley Road", leaveHoldM: 90,
		meets:   "Valley Road",
		corners: []corner{{1150, 250, 0}, {1150, 400, 100}, {560, 900, 150}, {480, 1500, 200}, {560, 2350, 150}, {800, 2700, 0}},
		grades:  grades{{300, 50, 80}, {1300, 92, 80}, {2630, 88.75, 60}},
		tags:    []tag{{"highway", "unclassified"}, {"surface", "asphalt"}, {"width", "6"}},
		stretches: []stretch{
			{1618, 1650, []tag{{"bridge", "yes"}, {"layer", "1"}}, true},
		},
	},
	{
		name:   "Jetty Spur",
		leaves: "Valley Road", leaveHoldM: 35, endM: 42,
		corners: []corner{{1440, 1000, 0}, {1440, 1130, 40}, {1520, 1170, 0}},
		tags:    []tag{{"highway", "service"}, {"surface", "gravel"}, {"width", "4"}},
	},
	{
		name:   "Gallery Spur",
		leaves: "Quarry Road", leaveHoldM: 90, endM: 103,
		corners: []corner{{1880, 2350, 0}, {1780, 2536.9565, 60}, {1990, 2690, 0}},
		tags:    []tag{{"highway", "service"}, {"surface", "gravel"}, {"width", "4.5"}},
		stretches: []stretch{
			{120, 190, []tag{{"tunnel", "yes"}, {"layer", "-1"}, {"maxheight", "3.9"}}, true},
		},
	},
}

// leg is a part of a route: a road from the place where the route comes onto
// it to the place where the road named next leaves it, or to its end.
type leg struct{ road, until string }

// trips is the five routes between the recovery point (the start of Valley
// Road) and the depot (its end).
var trips = []struct {
	id   string
	legs []leg
}{
	{"lakeside", []leg{{"Valley Road", ""}}},
	{"quarry-climb", []leg{{"Valley Road", "Quarry Road"}, {"Quarry Road", ""}, {"Valley Road", ""}}},
	{"mill-bridge", []leg{{"Valley Road", "Mill Lane"}, {"Mill Lane", ""}, {"Valley Road", ""}}},
	{"hairpin", []leg{{"Valley Road", "Terrace Road"}, {"Terrace Road", ""}, {"Quarry Road", ""}, {"Valley Road", ""}}},
	{"upper-track", []leg{{"Valley Road", "Upper Road"}, {"Upper Road", ""}}},
}

// void is where the raster has no data: beside a part of one road.
var void = struct {
	road       string
	fromM, toM float64
	asideM     float64
}{"Upper Road", 1980, 2100, 45}

// beck is the stream that three roads cross on bridges: its course and the
// height of its bed.
var beck = []struct{ x, y, bedM float64 }{
	{-100, 1820, 106}, {300, 1760, 92}, {500, 1720, 86}, {800, 1600, 70}, {1230, 1450, 51.5}, {1440, 1400, 41}, {1600, 1350, 39},
}

// lake is an ellipse with its axes along the grid.
var lake = struct{ x, y, halfEastM, halfNorthM, levelM float64 }{1780, 1250, 230, 330, 40}

// hills hold the ground up, or down, where no road does.
var hills = []struct{ x, y, zM float64 }{
	{60, 2750, 225}, {60, 2000, 235}, {60, 1200, 190}, {80, 300, 150}, {600, 200, 90}, {900, 1900, 118}, {900, 2350, 120},
	{1150, 2950, 120}, {1700, 2960, 150}, {2330, 2900, 240}, {2340, 2300, 235}, {2120, 2100, 190}, {2340, 1700, 150},
	{2340, 900, 110}, {2300, 200, 95}, {1700, 300, 62}, {1700, 650, 50}, {800, 1250, 88}, {1885, 2614, 134}, {1990, 2700, 108},
}
