package promise

import (
	"context"
	"sort"
	"strings"
	"sync"

	"hindwatt/internal/product"
)

// A study is what judges promises of one kind and answers one of the maker's questions.
type study struct {
	name     string
	question string
	// judge fills in the evidence of a promise that names the study.
	judge func(ctx context.Context, s *session, asked *product.Promise, j *Judged) error
	// answer answers the question, with the bounds of promises drawn in.
	answer func(ctx context.Context, s *session, judged []Judged) (*Answer, error)
}

// studies that exist. A new study enters here.
var studies = []study{
	{"setpoint", "Does it stop at the right voltage?", judgeSetpoint, answerSetpoint},
	{"bench", "What did the bench say?", judgeBench, answerBench},
}

// questions are the maker's, by the study that answers each; a study of this list that is not in
// studies is not built yet, and a promise on it has no evidence.
var questions = map[string]string{
	"setpoint":   "Does it stop at the right voltage?",
	"rating":     "How much current can it carry?",
	"fault":      "What if it is wired wrongly?",
	"charge":     "What does a year do to the battery?",
	"bench":      "What did the bench say?",
	"production": "What does one cost to make?",
	"accounts":   "Did it pay?",
	"returns":    "How often does it come back?",
}

// session is one computation on one product: what several promises share is computed once.
type session struct {
	product *product.Product
	options Options

	mutex sync.Mutex // guards the map, not the runs in it
	runs  map[string]*setpointRun
}

// Options of a check or a study.
type Options struct {
	Seed         uint64
	Installation string // "" : the product as its leaflet asks for it
	VerdictsOnly bool   // leaves out the pages
}

func studyOf(name string) *study {
	for i := range studies {
		if studies[i].name == name {
			return &studies[i]
		}
	}
	return nil
}

// Studies lists the studies that exist, each with its question.
func Studies() [][2]string {
	var out [][2]string
	for _, s := range studies {
		out = append(out, [2]string{s.name, s.question})
	}
	return out
}

func knownStudies() string {
	var names []string
	for name := range questions {
		names = append(names, name)
	}
	sort.Strings(names)
	return strings.Join(names, ", ")
}
