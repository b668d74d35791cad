package specfile

import (
	"reflect"
	"strings"
)

// fieldOf is the index of the field with a key, -1 when there is none.
func fieldOf(t reflect.Type, key string) int {
	for i := range t.NumField() {
		if t.Field(i).Tag.Get("yaml") == key {
			return i
		}
	}
	return -1
}

// nearestKey is a hint: the known key that takes fewest changes or only lacks
// its unit, or all of them when none is near.
func nearestKey(t reflect.Type, key string) string {
	best, least := "", 1+max(2, len(key)/4)
	var all []string
	for i := range t.NumField() {
		known := t.Field(i).Tag.Get("yaml")
		if known == "" {
			continue
		}
		all = append(all, known)
		n := distance(key, known)
		if strings.HasPrefix(known, key+"_") {
			n = 1
		}
		if n < least {
			best, least = known, n
		}
	}
	if best != "" {
		return "did you mean " + best + "?"
	}
	return "known here: " + strings.Join(all, ", ")
}

// distance is how many letters must be put in, taken out, changed or swapped
// with their neighbour to make one word of the other (optimal string
// alignment).
func distance(a, b string) int {
	if len(a) > 100 {
		return len(a)
	}
	rows := make([][]int, len(a)+1)
	for i := range rows {
		rows[i] = make([]int, len(b)+1)
		rows[i][0] = i
	}
	for j := range len(b) + 1 {
		rows[0][j] = j
	}
	for i := 1; i <= len(a); i++ {
		for j := 1; j <= len(b); j++ {
			change := rows[i-1][j-1]
			if a[i-1] != b[j-1] {
				change++
			}
			rows[i][j] = min(rows[i-1][j]+1, rows[i][j-1]+1, change)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				rows[i][j] = min(rows[i][j], rows[i-2][j-2]+1)
			}
		}
	}
	return rows[len(a)][len(b)]
}
