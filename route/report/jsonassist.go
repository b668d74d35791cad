package report

import (
	"drawbar/route/secondtow"
	"drawbar/route/verdict"
)

type jAssist struct {
	Helper           string     `json:"helper"`
	Helpers          []jMember  `json:"helpers"`
	Winched          bool       `json:"winched"`
	Holding          bool       `json:"holding_back"`
	HookOnM          num        `json:"hook_on_m"`
	CastOffM         num        `json:"cast_off_m"`
	HookStartsAlone  num        `json:"hook_on_starts_alone"`
	CastStartsAlone  num        `json:"cast_off_starts_alone"`
	PairStarts       num        `json:"hook_on_pair_starts"`
	TimeS            num        `json:"time_s"`
	PutsRight        []int      `json:"puts_right"`
	CoupledNotPassed []jFinding `json:"coupled_findings"`
	Bars             []jBar     `json:"bars"`
	Hooks            []jStand   `json:"hook_on_places"`
	Casts            []jStand   `json:"cast_off_places"`
	Others           []jOption  `json:"would_do_as_well"`
	Moves            []jMove    `json:"moves"`
}

type jMember struct {
	Name   string `json:"name"`
	Behind bool   `json:"behind"`
}

type jBar struct {
	Helper  string `json:"helper"`
	MostN   num    `json:"largest_pull_n"`
	MostAtM num    `json:"largest_pull_at_m"`
	PushN   num    `json:"largest_push_n"`
	PushAtM num    `json:"largest_push_at_m"`
	SlackM  []num  `json:"slack_at_m"`
	OwnN    num    `json:"helper_alone_n"`
	OwnAtM  num    `json:"helper_alone_at_m"`
	RatedN  num    `json:"rated_pull_n"`
	MayN    num    `json:"rated_push_n"`
}

type jStand struct {
	AtM         num  `json:"at_m"`
	AwayM       num  `json:"away_m"`
	Holds       num  `json:"holds_parked"`
	Starts      num  `json:"starts_alone"`
	GradeUp     num  `json:"grade_under_train"`
	StraightM   num  `json:"straight_m"`
	WidthM      num  `json:"width_m"`
	OnStructure bool `json:"on_structure"`
	MoreS       num  `json:"more_time_s"`
}

type jOption struct {
	Say   string `json:"say"`
	TimeS num    `json:"time_s"`
}

type jMove struct {
	Helper string `json:"helper"`
	FromM  num    `json:"from_m"`
	ToM    num    `json:"to_m"`
	Passes bool   `json:"passes_the_train"`
	WaitS  num    `json:"train_waits_s"`
	Alone  num    `json:"chance_by_itself"`
}

type jTried struct {
	FromM   num       `json:"from_m"`
	ToM     num       `json:"to_m"`
	Down    bool      `json:"going_down"`
	Helper  string    `json:"nearest_helper"`
	Why     string    `json:"why"`
	Would   []jOption `json:"would_do"`
	Unlocks []string  `json:"fields_for_a_helper_behind"`
}

func jsonAssist(a *secondtow.Assist) jAssist {
	ja := jAssist{Helper: a.Helper, Helpers: []jMember{}, Winched: a.Winched, Holding: a.Holding, HookOnM: metres(a.Over.FromM), CastOffM: metres(a.Over.ToM),
		HookStartsAlone: num{a.HookStartP, 4}, CastStartsAlone: num{a.CastStartP, 4}, PairStarts: num{a.PairStartP, 4}, TimeS: num{a.TimeS, 0},
		PutsRight: list(a.For), CoupledNotPassed: []jFinding{}, Bars: []jBar{}, Hooks: stands(a.Hooks), Casts: stands(a.Casts), Others: options(a.Others), Moves: []jMove{}}
	for _, m := range a.Members {
		ja.Helpers = append(ja.Helpers, jMember{m.Helper, m.Behind})
	}
	for i := range a.Findings {
		ja.CoupledNotPassed = append(ja.CoupledNotPassed, jsonFinding(&a.Findings[i], verdict.Alone(&a.Findings[i])))
	}
	for i := range a.Bars {
		b := &a.Bars[i]
		jb := jBar{b.Helper, num{b.MostN, 0}, metres(b.MostAtM), num{b.PushN, 0}, metres(b.PushAtM), []num{}, num{b.OwnN, 0}, metres(b.OwnAtM), num{b.RatedN, 0}, num{b.MayPushN, 0}}
		for _, at := range b.Slack {
			jb.SlackM = append(jb.SlackM, metres(at))
		}
		ja.Bars = append(ja.Bars, jb)
	}
	for _, m := range a.Moves {
		ja.Moves = append(ja.Moves, jMove{m.Helper, metres(m.FromM), metres(m.ToM), m.Passes, num{m.WaitS, 0}, num{m.AloneP, 4}})
	}
	return ja
}

func jsonTried(a *secondtow.Attempt) jTried {
	return jTried{metres(a.Over.FromM), metres(a.Over.ToM), a.Down, a.Helper, SI.Sentence(&a.Why), options(a.Would), list(a.Unlocks)}
}

func stands(ps []secondtow.Place) []jStand {
	out := []jStand{}
	for _, p := range ps {
		out = append(out, jStand{metres(p.AtM), metres(p.AwayM), num{p.HoldP, 4}, num{p.StartP, 4}, ratio(p.GradeRatio), metres(p.StraightM), metres(p.WidthM), p.OnStructure, num{p.MoreS, 0}})
	}
	return out
}

func options(os []secondtow.Option) []jOption {
	out := []jOption{}
	for _, o := range os {
		out = append(out, jOption{SI.Fill(o.Say, o.Q), num{o.TimeS, 0}})
	}
	return out
}
