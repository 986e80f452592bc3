package promise

import (
	"fmt"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/study/setpoint"
)

// Readable says whether a reading of this name ("setpoint.float") bears on anything: an error where
// it never can, a note where the study that it bears on is not built yet.
func Readable(what string) (note string, err error) {
	name, quantity, _ := strings.Cut(bind.Plain(what), ".")
	study := studyOf(name)
	switch {
	case study == nil:
		return "", fmt.Errorf("what: %q: there is no such study; %s", what, wantOneOf(name, studyNames(false)))
	case !study.built():
		return fmt.Sprintf("it is kept; the study that answers %q is not built yet", study.question), nil
	}
	switch name {
	case "rating":
		return "", readableRating(what, quantity)
	case "fault":
		if quantity != endQuantity {
			return "", fmt.Errorf("what: %q: nothing of that name is read; want fault.end", what)
		}
		return "", nil
	case "charge":
		return "it is kept; the charge study calculates, and reads nothing yet", nil
	}
	var known []string
	for _, q := range setpoint.Quantities() {
		if level := strings.TrimSuffix(q, "-error"); level != q {
			known = append(known, level)
			if quantity == level {
				return "", nil
			}
		}
	}
	return "", fmt.Errorf("what: %q: nothing of that name is read; %s", what, wantOneOf(quantity, known))
}
