package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"os/signal"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"pgregory.net/rapid"
)

// TestInterrupt interrupts a run that waits for standard input.
func TestInterrupt(t *testing.T) {
	if signal.Ignored(os.Interrupt) {
		t.Skip("interrupts are ignored in this session, and children inherit that")
	}
	c := command(t, "check", "-", "--dem", repo+"/samples/valley.tif", "--transporter", repo+"/samples/transporter-112t.yaml")
	in, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	wait := started(t, c)
	// More than a pipe holds: once it is through, the program reads.
	if _, err := io.WriteString(in, strings.Repeat(" ", 1<<20)); err != nil {
		t.Error(err)
	}
	if err := c.Process.Signal(os.Interrupt); err != nil {
		t.Error(err)
	}
	// The end of the input would end a program that missed the signal.
	timer := time.AfterFunc(20*time.Second, func() { in.Close() })
	defer timer.Stop()
	r := wait()
	if r.code != exitInterrupt || r.err != "drawbar: interrupted\n" || r.out != "" {
		t.Errorf("exit status %d, %q, %q", r.code, r.err, r.out)
	}
	if r.took > 15*time.Second {
		t.Errorf("took %v", r.took)
	}
}

// TestInterruptible reads all bytes and every error through it.
func TestInterruptible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		data := rapid.SliceOfN(rapid.Byte(), 0, 200<<10).Draw(t, "data")
		got, err := io.ReadAll(&interruptible{ctx: context.Background(), from: iotest.HalfReader(bytes.NewReader(data))})
		if err != nil || !bytes.Equal(got, data) {
			t.Fatalf("%d bytes of %d, %v", len(got), len(data), err)
		}
	})
	broken := errors.New("broken")
	if _, err := io.ReadAll(&interruptible{ctx: context.Background(), from: iotest.ErrReader(broken)}); !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	never, w := io.Pipe()
	defer w.Close()
	if _, err := io.ReadAll(&interruptible{ctx: ctx, from: never}); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
}
