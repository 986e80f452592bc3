package bind

import "strings"

// The usual words for kinds of work and of spending. Any other word will do, and stands by itself.

// workKinds are the words for each kind of work, the kind's own among them.
var workKinds = map[string][]string{
	"design":   {"design", "designing", "development", "firmware", "drawing", "trials"},
	"sourcing": {"sourcing", "buying", "purchasing", "ordering"},
	"building": {"building", "build", "make", "making", "assembly", "solder", "soldering", "production"},
	"testing":  {"testing", "test", "trim", "final", "calibration"},
	"packing":  {"packing", "pack", "shipping", "sending"},
	"support":  {"support", "advice", "service", "repair", "returns"},
	"accounts": {"accounts", "office", "books", "bookkeeping", "paperwork"},
}

// moneyKinds are the words for kinds of spending that other files may tell too, or that move with the units.
var moneyKinds = map[string][]string{
	"parts":             {"parts", "part", "materials", "material", "components"},
	"packing":           {"packing", "packaging", "cartons"},
	"carriage-of-parts": {"carriage-of-parts", "freight"},
	"channel fees":      {"fees", "fee", "channel-fees", "commission"},
	"sending":           {"sending", "postage", "carriage", "shipping"},
	"what came back":    {"returns", "returned", "refunds"},
	"tax passed on":     {"tax", "vat"},
}

var workKindOf, moneyKindOf = byWord(workKinds), byWord(moneyKinds)

func byWord(kinds map[string][]string) map[string]string {
	of := map[string]string{}
	for kind, words := range kinds {
		for _, w := range words {
			of[w] = kind
		}
	}
	return of
}

// plainWord is a word as it is looked up.
func plainWord(s string) string {
	return strings.ReplaceAll(strings.ToLower(strings.TrimSpace(s)), " ", "-")
}

// workKind is the kind of work that a word of hours.csv, or the name of a step, means; "" if it is none of the usual.
func workKind(word string) string { return workKindOf[plainWord(word)] }

// moneyKind is the kind of spending that a word of spent.csv means; "" if it is none of the usual.
func moneyKind(word string) string { return moneyKindOf[plainWord(word)] }

// isParts and isMaking tell what went into the units by the list of parts and by the steps; packing by itself is neither.
func isParts(word string) bool { return moneyKind(word) == "parts" }

func isMaking(word string) bool {
	kind := workKind(word)
	return kind == "building" || kind == "testing"
}

// workGroup is the kind of work of a row: that of its step where it was made, tested or packed.
func workGroup(word, step string) string {
	kind, at := workKind(word), workKind(step)
	goesInto := func(kind string) bool { return kind == "building" || kind == "testing" || kind == "packing" }
	if goesInto(kind) && goesInto(at) {
		return at
	}
	return kind
}
