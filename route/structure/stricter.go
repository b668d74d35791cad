package structure

import "drawbar/route"

// Stricter joins what two sources say of one limit. An unreadable one outranks a
// figure, for it may be lower; a figure outranks "no limit". With most, of two
// figures the larger is the stricter: a depth, a span. differ tells that both give
// something and not the same.
func Stricter(a, b route.Limit, most bool) (l route.Limit, differ bool) {
	rank := [...]int{route.Absent: 0, route.None: 1, route.Known: 2, route.Unreadable: 3}
	differ = a.State != route.Absent && b.State != route.Absent && (a.State != b.State || a.Value != b.Value)
	switch {
	case rank[b.State] > rank[a.State]:
		return b, differ
	case a.State == route.Known && b.State == route.Known && (b.Value < a.Value) != most && b.Value != a.Value:
		return b, differ
	case a.State == route.Absent && a.Raw == "":
		return b, differ
	}
	return a, differ
}
