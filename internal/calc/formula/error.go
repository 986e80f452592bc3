package formula

// An Error says where in a formula the fault lies, what it is and what is
// accepted. Column counts characters from 1; Width counts the characters at fault, at least 1.
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
