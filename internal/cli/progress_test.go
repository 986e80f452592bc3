package cli

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

func TestProgressIsOneLineAndGoesAway(t *testing.T) {
	var screen bytes.Buffer
	now := time.Unix(0, 0)
	p := &progress{to: &screen, width: 20, now: func() time.Time { return now }}
	out := p.before(&screen)
	p.tell("charge study", 1, 40)
	if screen.Len() > 0 {
		t.Errorf("told at once: %q", screen.String())
	}
	now = now.Add(quiet)
	p.tell("charge study", 12, 40)
	p.tell("charge study", 13, 40) // too soon
	now = now.Add(often)
	p.tell("charge study, years of a far place", 14, 40)
	if want := "\rcharge study: 12 of 4\x1b[K"; !strings.HasPrefix(screen.String(), want[:20]) || strings.Contains(screen.String(), "13") || strings.Contains(screen.String(), "\n") {
		t.Errorf("%q", screen.String())
	}
	for _, line := range strings.Split(screen.String(), "\r") {
		if len(strings.TrimSuffix(line, "\x1b[K")) > 19 {
			t.Errorf("%q does not fit", line)
		}
	}
	screen.Reset()
	out.Write([]byte("done\n"))
	if got := screen.String(); got != "\r\x1b[Kdone\n" {
		t.Errorf("%q", got)
	}
	p.end()
	now = now.Add(time.Hour)
	p.tell("charge study", 40, 40)
	if got := screen.String(); got != "\r\x1b[Kdone\n" {
		t.Errorf("told after the end: %q", got)
	}
	if p := progressOn(&screen); p.before(&screen) != &screen {
		t.Error("progress on what is no terminal")
	}
}
