package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

const (
	// repo is the root of the repository as this package sees it.
	repo = "../.."
	// dataDir holds real data beside the repository; it may be absent.
	dataDir = repo + "/../shared/data"
	// asProgram in the environment makes the test binary be the program.
	asProgram = "DRAWBAR_TEST_AS_PROGRAM"
)

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	testscript.Main(m, map[string]func(){"drawbar": main})
}

// needData skips without the folder of real data.
func needData(t *testing.T) {
	t.Helper()
	if _, err := os.Stat(dataDir); err != nil {
		t.Skip("the shared data folder is not there: acceptance on real data not run")
	}
}

// outcome is what one run of the program came to.
type outcome struct {
	out, err string
	code     int
	took     time.Duration
	maxRSS   int64 // bytes, 0 where the run was no process of its own
}

// command is the test binary as the program, in a process of its own.
func command(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.CommandContext(t.Context(), self, args...)
	c.Env = append(os.Environ(), asProgram+"=1")
	return c
}

// child runs the program in a process of its own and in the folder dir.
func child(t *testing.T, dir string, in io.Reader, args ...string) outcome {
	t.Helper()
	c := command(t, args...)
	c.Dir, c.Stdin = dir, in
	return finished(t, c)
}

func finished(t *testing.T, c *exec.Cmd) outcome {
	t.Helper()
	return started(t, c)()
}

// started starts a command; wait for its outcome with what is returned.
func started(t *testing.T, c *exec.Cmd) (wait func() outcome) {
	t.Helper()
	var out, errs bytes.Buffer
	c.Stdout, c.Stderr = &out, &errs
	start := time.Now()
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	most := watchRSS(c.Process.Pid)
	return func() outcome {
		t.Helper()
		err := c.Wait()
		took, rss := time.Since(start), most()
		var exit *exec.ExitError
		if err != nil && !errors.As(err, &exit) {
			t.Fatal(err)
		}
		return outcome{out.String(), errs.String(), c.ProcessState.ExitCode(), took, rss}
	}
}

// inside runs the program in this process, in the folder of this package.
func inside(args ...string) outcome {
	var out, errs strings.Builder
	start := time.Now()
	code := run(args, strings.NewReader(""), &out, &errs)
	return outcome{out.String(), errs.String(), code, time.Since(start), 0}
}

// fileText is a file of the tests as text; one that is lacking fails them.
func fileText(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// clip cuts a text for a message.
func clip(s string) string {
	const most = 2000
	if len(s) > most {
		return s[:most] + "..."
	}
	return s
}

// match is nil where a text matches a pattern, line by line.
func match(pattern, text string) error {
	ok, err := regexp.MatchString("(?m)"+pattern, text)
	if err == nil && !ok {
		err = fmt.Errorf("no match for %s", pattern)
	}
	return err
}

// words splits a command line as a shell does, of quotes only the single ones.
func words(line string) (out []string) {
	for i, part := range strings.Split(line, "'") {
		if i%2 == 1 {
			out = append(out, part)
			continue
		}
		out = append(out, strings.Fields(part)...)
	}
	return out
}
