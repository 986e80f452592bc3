package fault

// Families of cases.
const (
	Mistake = "mistake" // at the terminals
	Failure = "failure" // of a part
)

// A Case is a wiring mistake or the failure of a part.
type Case struct {
	Name      string   // stable: "panel leads touched", "d1 short"
	Text      string   // a sentence: "The two leads of the panel touch each other."
	Family    string   // Mistake or Failure
	Terminals []string // that it is about
	Parts     []string // that it is about
	Mode      string   // of a failure: "short", "open", "drift", "stuck on", "stuck off", "silent"
	Kind      string   // of a failure, of the part: "diode"

	lasts float64 // s, how long it is followed
	days  bool    // what goes on after an hour goes on for days
	apply func(s *setup, w *world)
	same  map[string][]string // states that one stands for, by its name
}
