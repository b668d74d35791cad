package main

import (
	"fmt"
	"os"
	"strconv"
	"strings"
	"time"
)

// watchRSS follows the most memory that a running process has held, in bytes,
// until stop is called after its end. It reads VmHWM (source: proc(5)), because
// the maximum in rusage begins with what the parent held when it forked. What
// is taken in the last millisecond may be missed.
func watchRSS(pid int) (stop func() int64) {
	done, most := make(chan struct{}), make(chan int64)
	go func() {
		var high int64
		for {
			high = max(high, highWater(pid))
			select {
			case <-done:
				most <- high
				return
			case <-time.After(time.Millisecond):
			}
		}
	}()
	return func() int64 {
		close(done)
		return <-most
	}
}

// highWater is VmHWM of a process in bytes, 0 once it has ended.
func highWater(pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	_, after, _ := strings.Cut(string(text), "VmHWM:")
	kib, _, _ := strings.Cut(strings.TrimSpace(after), " ")
	n, err := strconv.ParseInt(kib, 10, 64)
	if err != nil {
		return 0
	}
	return n << 10
}
