package survival

import (
	"errors"
	"fmt"
	"math"
)

// A Life is what is known of the age at which a unit, or several alike, failed.
type Life struct {
	Entry    float64 // age from which it was watched, 0 = from the beginning
	From, To float64 // it failed between: From = To exactly then, To = +Inf still good at From
	Count    int     // of units, ≥ 1
}

// Failed returns the life of a unit that failed at an age.
func Failed(age float64) Life { return Life{From: age, To: age, Count: 1} }

// Good returns the life of a unit that was still good at an age.
func Good(age float64) Life { return Life{From: age, To: math.Inf(1), Count: 1} }

// failed and good report an exact age at failure, and no failure yet.
func (l Life) failed() bool { return l.From == l.To }
func (l Life) good() bool   { return math.IsInf(l.To, 1) }

// Check returns what is wrong with a life.
func (l Life) Check() error {
	switch {
	case !(l.From >= 0 && l.From <= math.MaxFloat64):
		return fmt.Errorf("age is %v; want 0 or more", l.From)
	case !(l.To >= l.From):
		return fmt.Errorf("failed between %v and %v; want the earlier age first", l.From, l.To)
	case !(l.Entry >= 0 && l.Entry <= l.From) || l.Entry > 0 && l.failed() && l.Entry == l.From:
		return fmt.Errorf("watched from %v to %v; want the earlier age first, from 0 up", l.Entry, l.From)
	case l.Count < 1:
		return fmt.Errorf("count is %d; want 1 or more", l.Count)
	}
	return nil
}

// checkAll returns the first fault of lives, and how many units failed.
func checkAll(lives []Life) (failures int, err error) {
	if len(lives) == 0 {
		return 0, errors.New("no units; want one or more")
	}
	for i, l := range lives {
		if err := l.Check(); err != nil {
			return 0, fmt.Errorf("unit %d: %w", i+1, err)
		}
		if !l.good() {
			failures += l.Count
		}
	}
	return failures, nil
}

// A Maybe is a figure that may not exist.
type Maybe struct {
	Value float64
	None  string // why there is none, else ""
}

// NoFit says why data have no estimate, though there is nothing wrong with them.
type NoFit struct{ Why string }

func (e *NoFit) Error() string { return e.Why }
