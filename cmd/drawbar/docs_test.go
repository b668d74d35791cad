package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
)

var update = flag.Bool("update", false, "write what README shows of the program anew")

// documented are the exit statuses that the help names.
func documented(t *testing.T) []int {
	t.Helper()
	var out []int
	for _, m := range regexp.MustCompile(`(?m)^  (\d+) +\S`).FindAllStringSubmatch(exitHelp, -1) {
		n, err := strconv.Atoi(m[1])
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, n)
	}
	return out
}

// TestExitStatuses holds help, README and code to the same figures.
func TestExitStatuses(t *testing.T) {
	code := []int{exitOK, exitError, exitSecondTow, exitDetour, exitUnknown, exitInterrupt}
	if got := documented(t); !slices.Equal(got, code) {
		t.Errorf("help names %v, the code has %v", got, code)
	}
	text := readme(t)
	_, tail, ok := strings.Cut(text, "\nExit status: ")
	if !ok {
		t.Fatal("README has no line of exit statuses")
	}
	tail, _, _ = strings.Cut(tail, "\n\n")
	var got []int
	for _, part := range strings.Split(tail, ";") {
		n, err := strconv.Atoi(strings.Fields(part)[0])
		if err != nil {
			t.Fatalf("README: %q: %v", part, err)
		}
		got = append(got, n)
	}
	slices.Sort(got)
	if slices.Sort(code); !slices.Equal(got, code) {
		t.Errorf("README names %v, the code has %v", got, code)
	}
}

func readme(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(repo + "/README.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestREADME runs every "$ drawbar ..." of the README from the root of the
// repository and compares what it prints with what is shown under it. A line
// "..." stands for any lines.
func TestREADME(t *testing.T) {
	blocks := regexp.MustCompile(`(?m)^    \$ (drawbar .*)\n((?:    .*\n|\n)*)`).FindAllStringSubmatch(readme(t), -1)
	if len(blocks) == 0 {
		t.Fatal("README shows no run of the program")
	}
	for _, b := range blocks {
		r := child(t, repo, nil, words(strings.ReplaceAll(b[1], "\\\n", " "))[1:]...)
		if !slices.Contains(documented(t), r.code) || r.code == exitError {
			t.Errorf("%s\nexit status %d\n%s", b[1], r.code, r.err)
		}
		if err := shows(b[2], r.out); err != nil && *update {
			rewrite(t, b[2], r.out)
		} else if err != nil {
			t.Errorf("%s\n%v\nthe program prints:\n%s", b[1], err, r.out)
		}
	}
}

// rewrite puts the paragraph that a block of the README shows in anew: the one
// that begins with the word its first line begins with.
func rewrite(t *testing.T, block, out string) {
	t.Helper()
	var first string
	for line := range strings.Lines(block) {
		if w := strings.Fields(line); len(w) > 0 && w[0] != "..." {
			first = w[0]
			break
		}
	}
	for _, paragraph := range strings.Split(out, "\n\n") {
		if first == "" || !strings.HasPrefix(paragraph, first) {
			continue
		}
		fresh := "    ...\n"
		for _, line := range strings.Split(strings.TrimRight(paragraph, "\n"), "\n") {
			fresh += "    " + line + "\n"
		}
		text := strings.Replace(readme(t), strings.Trim(block, "\n")+"\n", fresh+"    ...\n", 1)
		if err := os.WriteFile(repo+"/README.md", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("no paragraph begins with %q: edit README by hand", first)
}

// shows compares a block of the README, indented by four, with an output.
func shows(block, out string) error {
	var want []string
	for line := range strings.Lines(strings.Trim(block, "\n")) {
		want = append(want, strings.TrimPrefix(strings.TrimRight(line, "\n"), "    "))
	}
	have := strings.Split(strings.TrimRight(out, "\n"), "\n")
	at, any := 0, false
	for _, w := range want {
		if w == "..." {
			any = true
			continue
		}
		i := slices.Index(have[at:], w)
		if i < 0 || i > 0 && !any {
			return fmt.Errorf("the README shows a line that is not printed there: %q", w)
		}
		at, any = at+i+1, false
	}
	if at < len(have) && !any {
		return fmt.Errorf("the program prints more: %q", have[at])
	}
	return nil
}

// commands are all commands of the program.
func commands(c *cobra.Command) []*cobra.Command {
	all := []*cobra.Command{c}
	for _, sub := range c.Commands() {
		all = append(all, commands(sub)...)
	}
	return all
}

var fileName = regexp.MustCompile(`\*|\.(geojson|tif|hgt|yaml|csv)$`)

// TestHelpExamples runs the examples of every help that name only files which
// exist, from the root of the repository.
func TestHelpExamples(t *testing.T) {
	ran := 0
	for _, c := range commands(newRoot(stdio{})) {
		if c.Runnable() && c.Example == "" && c.Parent() != nil && c.Parent().Name() != "completion" && c.Name() != "help" {
			t.Errorf("%s: no example", c.CommandPath())
		}
		for _, e := range strings.Split("\n"+c.Example, "\n  drawbar ")[1:] {
			words := words(strings.ReplaceAll(e, "\\\n", " "))
			if slices.ContainsFunc(words, func(w string) bool {
				_, err := os.Stat(filepath.Join(repo, w))
				return fileName.MatchString(w) && err != nil
			}) {
				continue
			}
			ran++
			r := child(t, repo, nil, words...)
			if r.code == exitError || !slices.Contains(documented(t), r.code) || r.out == "" {
				t.Errorf("%s: drawbar %s: exit status %d\n%s", c.CommandPath(), e, r.code, r.err)
			}
		}
	}
	if ran < 8 {
		t.Errorf("%d examples ran: most should name files of samples", ran)
	}
	t.Logf("%d examples ran", ran)
}

// TestHelpWidth holds every help to 80 columns, and flags to names of ours.
func TestHelpWidth(t *testing.T) {
	for _, c := range commands(newRoot(stdio{})) {
		args := append(strings.Fields(c.CommandPath())[1:], "--help")
		r := inside(args...)
		if r.code != exitOK || r.err != "" || !strings.Contains(r.out, "Exit status:") {
			t.Errorf("%v: exit status %d, %q", args, r.code, r.err)
		}
		for line := range strings.Lines(r.out) {
			if n := utf8.RuneCountInString(strings.TrimRight(line, "\n")); n > 80 {
				t.Errorf("%v: %d columns: %s", args, n, line)
			}
			if regexp.MustCompile(`--\S+ (float|string|stringArray|int)\b`).MatchString(line) {
				t.Errorf("%v: a value without a name: %s", args, line)
			}
		}
	}
}

// TestCommandsTable holds the table of commands in the README to the program.
func TestCommandsTable(t *testing.T) {
	text := readme(t)
	for _, c := range newRoot(stdio{}).Commands() {
		if c.Name() != "help" && !strings.Contains(text, "\n| `drawbar "+c.Name()) {
			t.Errorf("README does not list the command %s", c.Name())
		}
	}
	flags := map[string]bool{"help": true}
	for _, c := range commands(newRoot(stdio{})) {
		for _, m := range regexp.MustCompile(`--([a-z0-9-]+)`).FindAllStringSubmatch(c.Flags().FlagUsages(), -1) {
			flags[m[1]] = true
		}
	}
	for _, m := range regexp.MustCompile("--([a-z][a-z0-9-]+)").FindAllStringSubmatch(text, -1) {
		if !flags[m[1]] {
			t.Errorf("README names --%s, which no command has", m[1])
		}
	}
}
