package main

import (
	"bytes"
	"context"
	"io"
)

// interruptible gives up reading when its context ends. A read of a terminal
// or a pipe would otherwise wait for input that an interrupted user never
// sends.
type interruptible struct {
	ctx  context.Context
	from io.Reader
	got  chan block
	left bytes.Reader
	err  error
}

type block struct {
	data []byte
	err  error
}

// Read implements io.Reader.
func (r *interruptible) Read(p []byte) (int, error) {
	if r.got == nil {
		r.got = make(chan block)
		go r.pump()
	}
	for r.left.Len() == 0 {
		if r.err != nil {
			return 0, r.err
		}
		select {
		case <-r.ctx.Done():
			return 0, r.ctx.Err()
		case b := <-r.got:
			r.left.Reset(b.data)
			r.err = b.err
		}
	}
	return r.left.Read(p)
}

// pump reads ahead one block. It ends with the input or with the context.
func (r *interruptible) pump() {
	for {
		data := make([]byte, 64<<10)
		n, err := r.from.Read(data)
		select {
		case <-r.ctx.Done():
			return
		case r.got <- block{data[:n], err}:
		}
		if err != nil {
			return
		}
	}
}
