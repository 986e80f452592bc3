package product

import (
	"slices"
	"strings"
	"time"
)

// Revision is one that was really made.
type Revision struct {
	Name       string // its own name, or else its variant's
	Variant    string // to be given to Resolve; "" for product.toml as it is
	From       time.Time
	Until      time.Time // zero if it is not known
	FromSerial string
}

// RevisionName is the name of the revision that the product is, as records call it: its own, or
// else its variant's; "" for product.toml as it is without one.
func (p *Product) RevisionName() string {
	if p.Revision.Text != "" {
		return p.Revision.Text
	}
	return p.Variant
}

// Revisions returns the revisions in the order in which they were made; one without
// a date comes last. A folder may have none.
func (f *Folder) Revisions() (all []Revision) {
	for _, v := range f.Variants {
		if !v.MadeFrom.Set() && !v.FromSerial.Set() {
			continue
		}
		r := Revision{v.Revision.Text, v.Name, v.MadeFrom.Day, v.MadeUntil.Day, v.FromSerial.Text}
		if r.Name == "" {
			r.Name = v.Name
		}
		all = append(all, r)
	}
	if b := f.base; b != nil && (b.Revision.Set() || b.MadeFrom.Set()) {
		all = append(all, Revision{b.Revision.Text, "", b.MadeFrom.Day, time.Time{}, b.FromSerial.Text})
	}
	slices.SortStableFunc(all, func(a, b Revision) int {
		if a.From.IsZero() != b.From.IsZero() {
			if a.From.IsZero() {
				return 1
			}
			return -1
		}
		return a.From.Compare(b.From)
	})
	return all
}

// Revision returns the revision that a unit belongs to, by its serial number if the
// revisions say from which one they were made, else by the day on which it was made.
// ok is false if neither tells.
//
//	made    the day; the zero time if it is not known
//	serial  "" if there is none
func (f *Folder) Revision(made time.Time, serial string) (r Revision, ok bool) {
	return revisionAmong(f.Revisions(), made, serial)
}

func revisionAmong(all []Revision, made time.Time, serial string) (r Revision, ok bool) {
	for _, one := range all {
		if serial != "" && one.FromSerial != "" && notBefore(serial, one.FromSerial) && (!ok || notBefore(one.FromSerial, r.FromSerial)) {
			r, ok = one, true
		}
	}
	if ok || made.IsZero() {
		return r, ok
	}
	for _, one := range all {
		if !one.From.IsZero() && !made.Before(one.From) && (one.Until.IsZero() || !made.After(one.Until)) {
			r, ok = one, true
		}
	}
	return r, ok
}

// notBefore reports whether serial a comes at or after b: both must begin alike and
// end in a number, and the numbers are compared.
func notBefore(a, b string) bool {
	headA, numberA := splitSerial(a)
	headB, numberB := splitSerial(b)
	if headA != headB || numberA == "" || numberB == "" {
		return false
	}
	if len(numberA) != len(numberB) {
		return len(numberA) > len(numberB)
	}
	return numberA >= numberB
}

// splitSerial cuts a serial before its last number, whose leading zeros are dropped.
func splitSerial(s string) (head, number string) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	if i == len(s) {
		return s, ""
	}
	number = strings.TrimLeft(s[i:], "0")
	if number == "" {
		number = "0"
	}
	return s[:i], number
}
