package product

import (
	"strconv"
	"time"

	"hindwatt/internal/product/tree"
	"hindwatt/internal/quantity"
)

// Error and Errors are what is wrong in a folder; see package tree.
type (
	Error  = tree.Error
	Errors = tree.Errors
)

// Origin is where a value stands. Two values of a folder have the same Origin if they are one; a
// folder has millions, so that it is kept small.
type Origin struct {
	at         *where
	start, end uint32 // bytes of the file, counted from 1, End excluded; 0 if the value is not set
}

// where is what the values of one key of a file have in common.
type where struct {
	file *tree.File
	key  string // dotted, from the file's top: "sense.top"
}

// File is the file's path from the folder, with slashes: "installations/cabin.toml".
func (o Origin) File() string {
	if o.at == nil {
		return ""
	}
	return o.at.file.Name
}

// Line counts from 1; it is 0 if the value is not set.
func (o Origin) Line() int {
	if o.start == 0 {
		return 0
	}
	return o.at.file.LineAt(o.span().Start)
}

func (o Origin) span() tree.Span { return tree.Span{Start: int(o.start) - 1, End: int(o.end) - 1} }

// String returns "product.toml:12"; the file alone for a value that is not set.
func (o Origin) String() string {
	if o.start == 0 {
		return o.File()
	}
	return o.File() + ":" + strconv.Itoa(o.Line())
}

// MarshalText writes what String returns.
func (o Origin) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// Leaf is what every value carries: where it stands, or where it would.
type Leaf struct {
	Origin Origin
	Text   string // as written, without the quotes of a text; "" for a list or a table
}

// Set reports whether the folder has the value.
func (l Leaf) Set() bool { return l.Origin.start > 0 }

// Key is the dotted key from the file's top: "sense.top".
func (l Leaf) Key() string {
	if l.Origin.at == nil {
		return ""
	}
	return l.Origin.at.key
}

// Lack says which value is missing.
func (l Leaf) Lack() Lack { return Lack{l.Origin.File(), l.Key()} }

// Fault returns an Error about the value, with its place and its line; for a value
// that is not set, with its file and key.
func (l Leaf) Fault(problem, want string) *Error {
	e := &Error{File: l.Origin.File()}
	if l.Set() {
		e = l.Origin.at.file.Fault(l.Origin.span(), "", "", "", "")
	}
	e.Key, e.Value, e.Problem, e.Want = l.Key(), l.Text, problem, want
	return e
}

// written is the value as the file has it.
func (l Leaf) written() string {
	if !l.Set() {
		return ""
	}
	at := l.Origin.span()
	return string(l.Origin.at.file.Data[at.Start:at.End])
}

// Nearest returns the known name that a reader of name may have meant, or "".
func Nearest(name string, known []string) string { return tree.Nearest(name, known) }

func (l *Leaf) base() *Leaf { return l }

// Lack is a value that the folder does not have.
type Lack struct {
	File string `json:"file"`
	Key  string `json:"key"`
}

// String returns "product.toml: sense.top is missing".
func (l Lack) String() string { return l.File + ": " + l.Key + " is missing" }

// Quantity is a number with its unit and spread. Quantity.Quantity is the plain one.
type Quantity struct {
	Leaf
	quantity.Quantity
}

// Level is a quantity that may be held for a time: its Level and Time, which is zero
// if none is given.
type Level struct {
	Leaf
	quantity.Held
}

// Reference is the converter's reference: a voltage, or the supply.
type Reference struct {
	Leaf
	quantity.Quantity      // zero if Supply
	Supply            bool // "supply" is written
}

// Size is up to three lengths, in the order written, m.
type Size struct {
	Leaf
	Lengths []quantity.Quantity
}

// Accuracy is a meter's limit of error.
type Accuracy struct {
	Leaf
	quantity.Accuracy
}

// Text is free text; Leaf.Text holds it.
type Text struct{ Leaf }

// Word is one of a few words; Leaf.Text holds it, "" if it is not set.
type Word struct{ Leaf }

// Is reports whether the word is this one.
func (w Word) Is(word string) bool { return w.Set() && w.Text == word }

// Name is the name of something else in the folder; Leaf.Text holds it.
type Name struct{ Leaf }

// Count is a whole number.
type Count struct {
	Leaf
	N int
}

// Flag is true or false; false if it is not set.
type Flag struct {
	Leaf
	On bool
}

// Date is a day; Day is its midnight in UTC, the zero time if it is not set.
type Date struct {
	Leaf
	Day time.Time
}

// Clock is a time of day.
type Clock struct {
	Leaf
	AfterMidnight time.Duration // 0 to 24 h
}

// Drop is the forward voltage of a diode at a current and a temperature.
type Drop struct {
	Leaf
	Current, Voltage, Temperature quantity.Quantity
}

// Stage is one stage of a thermal step response: a thermal resistance and its time constant.
type Stage struct {
	Leaf
	Resistance, Time quantity.Quantity
}

// Melting is a point of a fuse's curve: it melts at the current after the time.
type Melting struct {
	Leaf
	Current, Time quantity.Quantity
}

// Wall is the material of an enclosure and its thickness.
type Wall struct {
	Leaf
	Material  string
	Thickness quantity.Quantity
}

// Prices are the prices of one at rising quantities.
type Prices struct {
	Leaf
	Breaks []PriceBreak // rising in From
}

// PriceBreak is the price of one when at least From are bought at once.
type PriceBreak struct {
	From  int
	Price quantity.Quantity
}

// EndWords are how a wiring mistake or a part's failure may end, the better first.
var EndWords = []string{"unharmed", "recovers", "part lost", "battery or load harmed", "hazard"}

// Outcome is what was read: a quantity, or how a trial ended.
type Outcome struct {
	Quantity
	End string // one of EndWords, and then the quantity is nothing
}

// Ends are the ends that a promise accepts, each one of EndWords: "unharmed or recovers" are two.
type Ends struct {
	Leaf
	Accepted []string
}

// List is a list of values, in the file's order. A list of one may be written
// without its brackets.
type List[T any] struct {
	Leaf
	Items []T
}

// Map is a table of named entries, in the file's order.
type Map[T any] struct {
	Leaf
	names []string
	items map[string]*T
}

// Len returns the number of entries.
func (m Map[T]) Len() int { return len(m.names) }

// Names returns the names in the file's order.
func (m Map[T]) Names() []string { return m.names }

// Get returns the entry of a name, or nil.
func (m Map[T]) Get(name string) *T { return m.items[name] }

// All goes through the entries in the file's order.
func (m Map[T]) All() func(yield func(name string, entry *T) bool) {
	return func(yield func(string, *T) bool) {
		for _, name := range m.names {
			if !yield(name, m.items[name]) {
				return
			}
		}
	}
}
