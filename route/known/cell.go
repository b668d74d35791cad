package known

import "strings"

// risky are the first letters by which a spreadsheet takes a cell for a
// formula, their full-width twins included.
const risky = "=+-@\t\r\n＝＋－＠"

// Cell makes a text safe for a spreadsheet: one that would run as a formula
// gets an apostrophe before it. Text undoes it. Numbers stay as they are.
func Cell(text string) string {
	if runs(text) {
		return "'" + text
	}
	return text
}

// Text is what a cell held before Cell made it safe.
func Text(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok && runs(rest) {
		return rest
	}
	return cell
}

// runs reports a text that a spreadsheet would run, behind any apostrophes.
func runs(text string) bool {
	bare := strings.TrimLeft(text, "'")
	if bare == "" {
		return false
	}
	if _, err := parseNumber(bare); err == nil && bare == text {
		return false
	}
	return strings.ContainsRune(risky, []rune(bare[:min(len(bare), 4)])[0])
}
