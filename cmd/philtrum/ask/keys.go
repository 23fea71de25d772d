package ask

import (
	"io"
	"sync"
)

// keyboard reads a terminal once for all questions: a form that is done must not take the key that is meant for the
// next one.
type keyboard struct {
	from  io.Reader
	start sync.Once
	come  chan []byte
	ended chan struct{}
	rest  []byte // of what came, not read yet
}

func newKeyboard(from io.Reader) *keyboard {
	return &keyboard{from: from, come: make(chan []byte), ended: make(chan struct{})}
}

// pump hands on what is typed, for as long as the program runs.
func (k *keyboard) pump() {
	defer close(k.ended)
	for {
		b := make([]byte, 256)
		n, err := k.from.Read(b)
		if n > 0 {
			k.come <- b[:n]
		}
		if err != nil {
			return
		}
	}
}

// turn is the keyboard for one question. It keeps to what a terminal can do, but for its name, by which a form would
// read past it.
type turn struct {
	*keyboard
	done chan struct{}
}

func (k *keyboard) turn() *turn {
	k.start.Do(func() { go k.pump() })
	return &turn{k, make(chan struct{})}
}

// Read gives what is typed until the turn is over.
func (t *turn) Read(p []byte) (int, error) {
	if len(t.rest) == 0 {
		select {
		case <-t.done:
			return 0, io.EOF
		default:
		}
		select {
		case <-t.done:
			return 0, io.EOF
		case <-t.ended:
			return 0, io.EOF
		case t.rest = <-t.come:
		}
	}
	n := copy(p, t.rest)
	t.rest = t.rest[n:]
	return n, nil
}

// Write is there for the shape of a terminal's file; nothing is written to a keyboard.
func (t *turn) Write(p []byte) (int, error) { return len(p), nil }

// Close leaves the terminal open for the next turn.
func (t *turn) Close() error { return nil }

// Fd is that of the terminal, for setting how it reads.
func (t *turn) Fd() uintptr {
	if f, ok := t.from.(interface{ Fd() uintptr }); ok {
		return f.Fd()
	}
	return ^uintptr(0)
}

// over ends the turn.
func (t *turn) over() { close(t.done) }
