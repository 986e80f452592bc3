package returns

import (
	"fmt"
	"math"
	"time"

	"hindwatt/internal/quantity"
)

// Value is a quantity of the folder and where it stands.
type Value = quantity.Written

// A Day counts days from 1970-01-01 UTC.
type Day int32

// DayOf returns the day of a time in UTC.
func DayOf(t time.Time) Day { return Day(math.Floor(float64(t.Unix()) / 86400)) }

// Time returns the beginning of the day.
func (d Day) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

const (
	daySeconds = 86400.0
	year       = 365.25 * daySeconds
)

// A Count is a number of units between two limits.
type Count struct{ Low, Best, High float64 }

// Exactly is a count that is known.
func Exactly(n float64) Count { return Count{n, n, n} }

func (c Count) plus(d Count) Count { return Count{c.Low + d.Low, c.Best + d.Best, c.High + d.High} }
func (c Count) exact() bool        { return c.Low == c.High }
func (c Count) check() error {
	if !(c.Low >= 0 && c.Low <= c.Best && c.Best <= c.High && c.High <= 1e9) {
		return fmt.Errorf("count %v..%v; want 0 to 1e9, the lower first", c.Low, c.High)
	}
	return nil
}

// Found is what was found on a unit that came back.
type Found uint8

const (
	NotLooked Found = iota // nothing is written down
	Fault
	NoFault
)

// A Unit is one sale of one unit whose day of sale is known.
type Unit struct {
	Batch, Revision, Channel string // "" where nothing tells
	Own                      bool   // of the product's own revision
	Sold                     Day
	SoldUntil                Day     // last day on which it may have been sold; 0: Sold is known
	Back                     *Return // when it first came back from this sale; nil: it has not
	Again                    int     // how often it came back after that
	Basis                    string
}

// A Sale is a number of units sold within a period, without serials.
type Sale struct {
	From, Until Day
	Count       Count
	Channel     string
	Revision    string // "" where nothing tells
	Own         bool
	Basis       string
	Source      string // "records/sold.csv:4"
}

// A Return is one row of returns.
type Return struct {
	Day, Until      Day
	Count           Count
	Batch, Revision string
	Reason          string
	Found           Found
	Cost            *Value // of one, money in the product's currency; nil: not noted
	Minutes         *Value // of one, s; nil: not noted
	Own             bool
	Joined          bool // to a unit in Units
	Basis           string
	Source          string
}

// A Span is the days from one to another.
type Span struct{ From, Until Day }

// Input is what the records tell of units sold and units that came back.
type Input struct {
	Revision    string // the product's own; "" where units are not told apart
	Units       []Unit
	Sales       []Sale
	Returns     []*Return       // all rows, joined or not
	Today       Day             // up to which the records are complete
	TodayFrom   string          // where that is written; "default" if it is the day of asking
	Last        Day             // the last that any record names; 0: not told
	Later       int             // rows of days after Today, which are not in this input
	AcceptedFor *Value          // s; after that age returns may go unseen; nil: no end
	Unreported  *Value          // share of faults that are never told of
	Hour        *Value          // what an hour of work is worth, money/s
	Batches     []string        // in the order in which they were made; batches not named come after them
	Revisions   []string        // likewise
	Made        map[string]Span // when the units of a batch were made, where it is known
	Currency    string
	Confidence  float64 // 0: 0.95
	Seed        uint64
	Guessed     int // rows that belong to their revision only by their day
	Unsold      int // units that came back though no sale of them is written down
}

func (in *Input) check() error {
	if in.Confidence == 0 {
		in.Confidence = 0.95
	}
	if !(in.Confidence > 0 && in.Confidence < 1) {
		return fmt.Errorf("returns: confidence is %v; want more than 0 and less than 1", in.Confidence)
	}
	for i, u := range in.Units {
		switch {
		case u.Sold > in.Today:
			return fmt.Errorf("returns: unit %d is sold after today; want today or earlier", i+1)
		case u.SoldUntil != 0 && (u.SoldUntil < u.Sold || u.SoldUntil > in.Today):
			return fmt.Errorf("returns: unit %d is sold until a day before it is sold or after today; want a day between", i+1)
		case u.Back != nil && u.Back.Day < u.Sold:
			return fmt.Errorf("returns: %s: came back before it was sold; want the day of its sale or later", u.Back.Source)
		}
	}
	for _, s := range in.Sales {
		if err := s.Count.check(); err != nil {
			return fmt.Errorf("returns: %s: %w", s.Source, err)
		}
		if s.From > s.Until || s.From > in.Today {
			return fmt.Errorf("returns: %s: period ends before it begins, or begins after today; want a period that has begun", s.Source)
		}
	}
	for _, r := range in.Returns {
		if err := r.Count.check(); err != nil {
			return fmt.Errorf("returns: %s: %w", r.Source, err)
		}
		if r.Day > r.Until || r.Day > in.Today {
			return fmt.Errorf("returns: %s: period ends before it begins, or begins after today; want a period that has begun", r.Source)
		}
		for _, v := range []*Value{r.Cost, r.Minutes} {
			if err := checkValue(r.Source, v, math.MaxFloat64); err != nil {
				return err
			}
		}
	}
	for _, v := range []struct {
		name string
		*Value
		most float64
	}{{"accepted_for", in.AcceptedFor, math.MaxFloat64}, {"fault_unreported", in.Unreported, 1}, {"hour", in.Hour, math.MaxFloat64}} {
		if err := checkValue(v.name, v.Value, v.most); err != nil {
			return err
		}
	}
	return nil
}

func checkValue(name string, v *Value, most float64) error {
	if v == nil || v.Low >= 0 && v.Low <= v.Value && v.Value <= v.High && v.High <= most {
		return nil
	}
	return fmt.Errorf("returns: %s: %v; want a finite number, 0 or more", name, v.Quantity)
}

// from is where today is written.
func (in *Input) from() string {
	if in.TodayFrom == "" {
		return "default"
	}
	return in.TodayFrom
}

// accepted is the age to which returns are seen, s; +Inf without an end.
func (in *Input) accepted() float64 {
	if in.AcceptedFor == nil {
		return math.Inf(1)
	}
	return in.AcceptedFor.Value
}
