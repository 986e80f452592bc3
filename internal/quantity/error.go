package quantity

// An Error says where in a quantity's text the fault lies, what it is and what
// is accepted instead. Column counts characters from 1 in the text handed to
// Parse; Width counts the characters at fault, at least 1.
type Error struct {
	Column, Width int
	Problem, Want string
}

// Error returns the problem and, after a semicolon, what is accepted.
func (e *Error) Error() string {
	if e.Want == "" {
		return e.Problem
	}
	return e.Problem + "; " + e.Want
}
