package cli

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"golang.org/x/term"
)

const (
	quiet = 500 * time.Millisecond // work that is done sooner is not told of
	often = 100 * time.Millisecond
)

// progress is one line on a terminal that says how far long work is. It is gone before anything else is written.
type progress struct {
	to    io.Writer // nil: nobody looks
	width int
	now   func() time.Time

	mutex sync.Mutex
	begun time.Time
	last  time.Time
	shown bool
	ended bool
}

// progressOn looks at standard error: only a terminal gets the line.
func progressOn(errs io.Writer) *progress {
	p := &progress{now: time.Now}
	file, ok := errs.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) || os.Getenv("TERM") == "dumb" {
		return p
	}
	width, _, err := term.GetSize(int(file.Fd()))
	if err != nil || width < 20 {
		width = 80
	}
	p.to, p.width = file, width
	return p
}

// tell shows how much is done.
func (p *progress) tell(what string, done, of int) {
	if p.to == nil {
		return
	}
	p.mutex.Lock()
	defer p.mutex.Unlock()
	now := p.now()
	if p.ended {
		return
	}
	if p.begun.IsZero() {
		p.begun = now
	}
	if now.Sub(p.begun) < quiet || now.Sub(p.last) < often {
		return
	}
	line := []rune(fmt.Sprintf("%s: %d of %d", what, done, of))
	line = line[:min(len(line), p.width-1)]
	fmt.Fprintf(p.to, "\r%s\x1b[K", string(line))
	p.last, p.shown = now, true
}

// end takes the line away for good.
func (p *progress) end() {
	p.mutex.Lock()
	p.ended = true
	p.mutex.Unlock()
	p.clear()
}

// clear takes the line away until there is more to tell.
func (p *progress) clear() {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if p.shown {
		io.WriteString(p.to, "\r\x1b[K")
		p.shown = false
	}
}

// before returns a writer that takes the line away before it writes.
func (p *progress) before(to io.Writer) io.Writer {
	if p.to == nil {
		return to
	}
	return clearing{p, to}
}

type clearing struct {
	line *progress
	to   io.Writer
}

func (c clearing) Write(text []byte) (int, error) {
	c.line.clear()
	return c.to.Write(text)
}
