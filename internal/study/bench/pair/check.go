package pair

import (
	"fmt"
	"math"
)

func (in *Input) check() error {
	given := 0
	for _, is := range []bool{in.Spans != nil, in.Side != nil, in.Hand != nil} {
		if is {
			given++
		}
	}
	switch {
	case given != 1:
		return fmt.Errorf("%d kinds of comparison; want one: spans in turn, two columns, or two readings", given)
	case !(in.Level > 0 && in.Level < 1):
		return fmt.Errorf("level is %v; want more than 0 and less than 1", in.Level)
	case in.Side != nil:
		a, b := in.Side[0], in.Side[1]
		b.Time, b.Sun = a.Time, nil
		if err := a.check("the first column"); err != nil {
			return err
		}
		return b.check("the second column")
	case in.Hand != nil:
		for _, q := range in.Hand {
			if !(math.Abs(q.Value) <= math.MaxFloat64 && q.StandardUncertainty() <= math.MaxFloat64) {
				return fmt.Errorf("reading is %v; want a finite number", q.Value)
			}
		}
		return nil
	}
	var seen [2]bool
	for i, s := range in.Spans {
		if s.Who != 0 && s.Who != 1 {
			return fmt.Errorf("span %d is of controller %d; want 0 or 1", i+1, s.Who)
		}
		if err := s.check(fmt.Sprintf("span %d", i+1)); err != nil {
			return err
		}
		if i > 0 && s.Time[0] <= in.Spans[i-1].Time[len(in.Spans[i-1].Time)-1] {
			return fmt.Errorf("span %d begins before the one before has ended; want spans one after the other", i+1)
		}
		seen[s.Who] = true
	}
	if !seen[0] || !seen[1] {
		return fmt.Errorf("only one controller was connected; want spans of both")
	}
	return nil
}

func (s *Span) check(what string) error {
	if n := len(s.Time); n < fewest || len(s.Value) != n || s.Sun != nil && len(s.Sun) != n {
		return fmt.Errorf("%s has %d times, %d values and %d of the sun; want %d or more, and as many of each", what, len(s.Time), len(s.Value), len(s.Sun), fewest)
	}
	for i, t := range s.Time {
		if !(math.Abs(t) <= 1e12 && math.Abs(s.Value[i]) <= 1e12) || s.Sun != nil && !(math.Abs(s.Sun[i]) <= 1e12) {
			return fmt.Errorf("%s, reading %d: want finite numbers", what, i+1)
		}
		if i > 0 && t <= s.Time[i-1] {
			return fmt.Errorf("%s, reading %d is not after the one before; want rising times", what, i+1)
		}
	}
	return nil
}
