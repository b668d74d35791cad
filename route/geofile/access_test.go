package geofile_test

import (
	"fmt"
	"strings"
	"testing"

	"drawbar/route"
)

// tagsOf reads the tags of one line with the given properties, JSON.
func tagsOf(t *testing.T, props string) (route.Tags, []string) {
	t.Helper()
	recs, err := read(t, fmt.Sprintf(`{"type":"Feature","properties":%s,"geometry":{"type":"LineString","coordinates":[[10,47],[10.01,47]]}}`, props))
	if err != nil || len(recs) != 1 || recs[0].Err != nil {
		t.Fatalf("%s: %v %+v", props, err, recs)
	}
	return recs[0].Route.Pieces[0].Tags, recs[0].Route.Notes
}

// What closes the way to a heavy vehicle. The special key outranks the general
// one: OpenStreetMap wiki, "Key:access" (memory).
func TestAccess(t *testing.T) {
	for props, want := range map[string]string{
		`{"highway":"secondary"}`:                                             "",
		`{"highway":"secondary","access":"yes"}`:                              "",
		`{"highway":"secondary","access":"no"}`:                               "access=no",
		`{"highway":"secondary","access":false}`:                              "access=no",
		`{"highway":"secondary","Access":"No"}`:                               "access=no",
		`{"highway":"secondary","access":"private"}`:                          "access=private",
		`{"highway":"secondary","motor_vehicle":"no"}`:                        "motor_vehicle=no",
		`{"highway":"secondary","motor_vehicle":"no","hgv":"yes"}`:            "",
		`{"highway":"secondary","hgv":"no","access":"yes"}`:                   "hgv=no",
		`{"highway":"secondary","hgv":"destination"}`:                         "hgv=destination",
		`{"highway":"secondary","hgv:conditional":"no @ (22:00-06:00)"}`:      "hgv:conditional=no @ (22:00-06:00)",
		`{"highway":"secondary","motor_vehicle":"no","goods":"yes"}`:          "motor_vehicle=no",
		`{"highway":"secondary","motor_vehicle":"no","hgv":"unknown"}`:        "motor_vehicle=no",
		`{"highway":"secondary","trailer":"no"}`:                              "trailer=no",
		`{"highway":"secondary","hgv":"no","trailer":"yes"}`:                  "hgv=no",
		`{"highway":"secondary","access":"unknown"}`:                          "access=unknown",
		`{"highway":"secondary","hgv:forward":"no"}`:                          "hgv:forward=no",
		`{"highway":"secondary","motor_vehicle:backward":"no"}`:               "motor_vehicle:backward=no",
		`{"highway":"secondary","access:lanes":"no|yes"}`:                     "access:lanes=no|yes",
		`{"highway":"secondary","access:lanes":"yes"}`:                        "",
		`{"highway":"secondary","bicycle":"no","foot":"no"}`:                  "",
		`{"highway":"secondary","motor_vehicle":["no"]}`:                      `motor_vehicle=["no"]`,
		`{"highway":"track","access":"agricultural;forestry"}`:                "access=agricultural;forestry",
		`{"highway":"track","vehicle":"no","motor_vehicle":"designated"}`:     "",
		`{"highway":"track","vehicle":"permissive","motor_vehicle":"permit"}`: "motor_vehicle=permit",
	} {
		if got, _ := tagsOf(t, props); got.Access != want {
			t.Errorf("%s: access %q, want %q", props, got.Access, want)
		}
	}
}

func TestDoubts(t *testing.T) {
	for props, want := range map[string]string{
		`{"highway":"secondary"}`:                                          "",
		`{"highway":"steps"}`:                                              "highway=steps: steps",
		`{"highway":"construction","construction":"primary"}`:              "highway=construction: being built",
		`{"highway":"proposed"}`:                                           "not built",
		`{"highway":"steps;path"}`:                                         "highway=steps;path: steps",
		`{"highway":"unbuilt"}`:                                            "no class of road",
		`{"highway":"primary_link"}`:                                       "",
		`{"highway":"service","abandoned":"yes"}`:                          "abandoned=yes",
		`{"highway":"service","ice_road":"yes"}`:                           "ice_road=yes",
		`{"highway":"service","bridge":"collapsed"}`:                       "bridge=collapsed: not to be driven",
		`{"highway":"service","bridge":"yes","bridge:condition":"closed"}`: "bridge:condition=closed",
		`{"highway":"service","oneway":"reversible"}`:                      "one-way by turns",
		`{"highway":"service","incline":30}`:                               "incline=30: a grade that cannot be read",
		`{"highway":"service","incline":"up"}`:                             "",
		`{"highway":"service","layer":"low"}`:                              "layer=low: cannot be read",
		`{"highway":"pedestrian"}`:                                         "on foot",
		`{"highway":"busway"}`:                                             "for buses",
		`{"highway":"secondary","route":"ferry"}`:                          "",
		`{"highway":"path"}`:                                               "a path",
		`{"railway":"rail"}`:                                               "railway=rail: no road",
		`{"highway":"secondary","railway":"tram"}`:                         "",
		`{"route":"ferry"}`:                                                "a ferry",
		`{"highway":"track","barrier":"gate"}`:                             "barrier=gate",
		`{"highway":"secondary","layer":"1"}`:                              "no bridge tagged",
		`{"highway":"secondary","layer":"1","bridge":"yes"}`:               "",
		`{"highway":"secondary","layer":"1","tunnel":"yes"}`:               "",
		`{"highway":"secondary","layer":"-1"}`:                             "",
		`{"highway":"secondary","man_made":"bridge"}`:                      "of a bridge, and no bridge tagged",
		`{"highway":"secondary","bridge:structure":"arch"}`:                "of a bridge, and no bridge tagged",
	} {
		got, _ := tagsOf(t, props)
		text := strings.Join(got.Doubts, "; ")
		if (want == "") != (text == "") || !strings.Contains(text, want) {
			t.Errorf("%s: doubts %q, want %q", props, text, want)
		}
	}
}

// A limit written in a form nobody reads is a limit nobody knows; keys of
// another case or with blanks are read; what is no limit of ours stays out.
func TestLookalikes(t *testing.T) {
	type state = route.LimitState
	for props, want := range map[string]state{
		`{"bridge":"yes","MaxWeight":7.5}`:                          route.Known,
		`{"bridge":"yes","maxweight ":7.5}`:                         route.Known,
		`{"bridge":"yes","maxweight":"none","MAXWEIGHT":"7.5"}`:     route.Unreadable,
		`{"bridge":"yes","maxweight:hgv_articulated":"30"}`:         route.Unreadable,
		`{"bridge":"yes","maxweight":"none","maxweight:goods":"3"}`: route.Unreadable,
		`{"bridge":"yes","maxweight":7500}`:                         route.Unreadable,
		`{"bridge":"yes","maxweight":0.1}`:                          route.Unreadable,
		`{"bridge":"yes","maxweight":"7500 kg"}`:                    route.Known,
		`{"bridge":"yes","hgv:maxweight":10}`:                       route.Unreadable,
		`{"bridge":"yes","weight_limit":7.5}`:                       route.Unreadable,
		`{"bridge":"yes","maxweight:legal":"40"}`:                   route.Known,
		`{"bridge":"yes","max_weight":"3"}`:                         route.Unreadable,
		`{"bridge":"yes","maxweight:note":"see sign"}`:              route.Absent,
		`{"bridge":"yes","maxweight:signed":"no"}`:                  route.Absent,
		`{"bridge":"yes","maxspeed":"30","maxstay":"2 h"}`:          route.Absent,
		`{"bridge":"yes","maxweight:bus":"18"}`:                     route.Absent,
		`{"bridge":"yes","max_weight":null}`:                        route.Absent,
	} {
		got, notes := tagsOf(t, props)
		if got.MaxMassKg.State != want {
			t.Errorf("%s: state %d, want %d", props, got.MaxMassKg.State, want)
		}
		if want == route.Unreadable && len(notes) == 0 {
			t.Errorf("%s: no note", props)
		}
	}
	if got, _ := tagsOf(t, `{"Bridge":"yes","Highway":"secondary"}`); got.Bridge != "yes" || !got.Mapped {
		t.Errorf("keys of another case are not read: %+v", got)
	}
}
