package main

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"drawbar/route/check"
	"drawbar/terrain"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

const weatherUsage = "`WEATHER`, the state of the ground: dry, wet, snow or ice (default dry)"

// flagWords are the words that a flag knows.
func flagWords(flag string) []string {
	switch flag {
	case "format":
		return []string{"text", "json", "csv"}
	case "units":
		return []string{"si", "us"}
	case "traffic":
		return []string{"left", "right"}
	case "weather":
		return []string{"dry", "wet", "snow", "ice"}
	case "bar-kind":
		return []string{"bar", "rope", "chain"}
	case "measure":
		return []string{"chains", "grit"}
	case "z":
		return []string{"raster", "route", "both"}
	case "dem-unit":
		return []string{"m", "ft", "us-ft"}
	case "require":
		return check.Names()
	case "dem-product":
		var keys []string
		for _, p := range terrain.Products() {
			keys = append(keys, p.Key)
		}
		return keys
	}
	return nil
}

// span is what a number may be, both ends allowed, in the unit of the flag.
type span struct{ least, most float64 }

// flagSpans bound the numbers that are given. They are choices: wide enough
// for any train and any raster, narrow enough that no slip of the keyboard
// fills the memory or turns a check off. Default values are not held to them.
var flagSpans = map[string]span{
	"altitude":      {-500, 6000},
	"bar-height":    {0.05, 3}, // as vehicle.ErrBar
	"bar-length":    {0.3, 60}, // as vehicle.ErrBar
	"bar-rating":    {1, 1e5},  // kN
	"base":          {1, 2000},
	"carry":         {0.1, 1000},
	"dem-band":      {1, 65535},
	"dem-le90":      {0.001, 1000},
	"height-margin": {0.001, 10},
	"line-error":    {0.1, 100},
	"march-speed":   {1, 120},
	"rest-every":    {1, 1440},
	"starts":        {1, 20},
	"step":          {0.1, 50},
	"workers":       {1, 1024},
}

// carryNone is the value of --carry for no void carried at all.
const carryNone = -1

// validFlags refuses what no flag can mean and says which flags are lacking,
// before anything is read or written.
func validFlags(c *cobra.Command) (err error) {
	c.Flags().Visit(func(f *pflag.Flag) {
		if err == nil {
			err = validFlag(f)
		}
	})
	if err != nil {
		return err
	}
	var lacking []string
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if _, ok := f.Annotations[cobra.BashCompOneRequiredFlag]; ok && !f.Changed {
			lacking = append(lacking, "--"+f.Name)
		}
	})
	if len(lacking) > 0 {
		return fmt.Errorf("%s must be given (see %s --help)", strings.Join(lacking, " and "), c.CommandPath())
	}
	return nil
}

func validFlag(f *pflag.Flag) error {
	if s, ok := flagSpans[f.Name]; ok {
		return s.valid(f)
	}
	values := []string{f.Value.String()}
	if list, ok := f.Value.(pflag.SliceValue); ok {
		values = list.GetSlice()
	}
	for _, v := range values {
		if v == "" {
			return fmt.Errorf("--%s is empty: give a value or leave it out", f.Name)
		}
		if known := flagWords(f.Name); known != nil && !slices.Contains(known, v) {
			return fmt.Errorf("--%s must be %s, is %q", f.Name, orList(known), v)
		}
	}
	return nil
}

func (s span) valid(f *pflag.Flag) error {
	v, err := strconv.ParseFloat(f.Value.String(), 64)
	if err == nil && v >= s.least && v <= s.most || f.Name == "carry" && v == carryNone {
		return nil
	}
	none := ""
	if f.Name == "carry" {
		none = ", or -1 for none"
	}
	return fmt.Errorf("--%s must be %g to %.0f%s, is %s", f.Name, s.least, s.most, none, f.Value)
}

// orList is "a, b or c".
func orList(words []string) string {
	last := len(words) - 1
	return strings.Join(words[:last], ", ") + " or " + words[last]
}

// completeWords offers the words of a command's flags to the shell.
func completeWords(c *cobra.Command) {
	for _, name := range []string{"format", "units", "weather", "z", "dem-unit", "require", "dem-product", "measure", "traffic"} {
		if _, done := c.GetFlagCompletionFunc(name); done || c.Flags().Lookup(name) == nil {
			continue
		}
		must(c.RegisterFlagCompletionFunc(name, cobra.FixedCompletions(flagWords(name), cobra.ShellCompDirectiveNoFileComp)))
	}
}

// arguments wants one argument at least and as many as most.
func arguments(what string, most int) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) == 0:
			return fmt.Errorf("no %s given (see %s --help)", what, c.CommandPath())
		case len(args) > most:
			return fmt.Errorf("one %s only, got %q besides (see %s --help)", what, args[most], c.CommandPath())
		}
		if i := slices.Index(args, ""); i >= 0 {
			return fmt.Errorf("%s %d is an empty name", what, i+1)
		}
		return nil
	}
}

// atMostOne wants one argument or none.
func atMostOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		return arguments(what, 1)(c, args)
	}
}

// knownCommand refuses an unknown command with the nearest one.
func knownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	best, least := "", math.MaxInt
	for _, sub := range c.Commands() {
		if d := edits(args[0], sub.Name()); d < least {
			best, least = sub.Name(), d
		}
	}
	if least > 3 {
		return fmt.Errorf("unknown command %q (see %s --help)", args[0], c.CommandPath())
	}
	return fmt.Errorf("unknown command %q, did you mean %s?", args[0], best)
}

// shortCompletionHelp words the help of the completion commands anew: that of
// the library is wider than a page.
func shortCompletionHelp(root *cobra.Command) {
	load := map[string]string{
		"bash":       "  source <(drawbar completion bash)",
		"zsh":        "  source <(drawbar completion zsh)",
		"fish":       "  drawbar completion fish | source",
		"powershell": "  drawbar completion powershell | Out-String | Invoke-Expression",
	}
	for _, c := range root.Commands() {
		if c.Name() != "completion" {
			continue
		}
		c.Short = "Print a script that completes commands and flags in a shell"
		c.Args = knownCommand
		c.Example = "  source <(drawbar completion bash)"
		c.RunE = func(c *cobra.Command, _ []string) error { return c.Help() }
		c.Long = c.Short + ": bash, zsh, fish\nor PowerShell."
		for _, shell := range c.Commands() {
			shell.Short = "Print the script for " + shell.Name()
			shell.Long = shell.Short + ".\n\nFor the shell that runs now:\n\n" + load[shell.Name()]
		}
	}
}
