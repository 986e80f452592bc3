package promise

import (
	"context"
	"slices"
	"sync"

	"hindwatt/internal/page"
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

// studies in the order of the maker's questions. A new study enters here with what judges and
// answers; one without is not built yet, and a promise on it has no evidence.
var studies = []study{
	{"setpoint", "Does it stop at the right voltage?", judgeSetpoint, answerSetpoint},
	{"rating", "How much current can it carry?", judgeRating, answerRating},
	{"fault", "What if it is wired wrongly?", nil, nil},
	{"charge", "What does a year do to the battery?", judgeCharge, answerCharge},
	{"bench", "What did the bench say?", judgeBench, answerBench},
	{"production", "What does one cost to make?", judgeProduction, answerProduction},
	{"accounts", "Did it pay?", judgeAccounts, answerAccounts},
	{"returns", "How often does it come back?", judgeReturns, answerReturns},
}

func (s *study) built() bool { return s != nil && s.answer != nil }

// session is one computation on one product: what several promises share is computed once.
type session struct {
	product *product.Product
	options Options

	setpoints sync.Once
	runs      map[string]*setpointRun // by the key of their settings

	ratings map[string]*ratingRun // by their conditions; the mutex guards it

	charges map[string]*chargeRun // by installation; the mutex guards it

	returns returnsRun
	account accountsRun

	mutex  sync.Mutex // guards the advice
	advice []page.Note
}

// advise notes, once, something about a value of the folder that is not as it should be.
func (s *session) advise(at product.Leaf, text, remedy string) {
	s.note(page.Note{Text: at.Origin.String() + " " + text, Remedy: remedy, From: at.Origin.String()})
}

// note adds to the advice what is not in it yet.
func (s *session) note(notes ...page.Note) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for _, n := range notes {
		if !slices.Contains(s.advice, n) {
			s.advice = append(s.advice, n)
		}
	}
}

// Options of a check or a study.
type Options struct {
	Seen func(Judged) // told of each promise as soon as it is judged, from several goroutines; may be nil

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
		if s.built() {
			out = append(out, [2]string{s.name, s.question})
		}
	}
	return out
}

// Unbuilt lists the maker's questions that no study answers yet.
func Unbuilt() []string {
	var out []string
	for _, s := range studies {
		if !s.built() {
			out = append(out, s.question)
		}
	}
	return out
}

// studyNames lists the studies, the built ones only or all.
func studyNames(built bool) []string {
	var names []string
	for _, s := range studies {
		if s.built() || !built {
			names = append(names, s.name)
		}
	}
	return names
}
