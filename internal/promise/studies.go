package promise

import (
	"context"
	"slices"
	"sync"

	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
)

// A study is what judges promises of one kind and answers one of the maker's questions.
type study struct {
	name     string
	question string
	// judge fills in the evidence of a promise that names the study.
	judge func(ctx context.Context, s *session, asked *product.Promise, j *Judged) error
	// answer answers the question, with the bounds of promises drawn in.
	answer func(ctx context.Context, s *session, judged []Judged) (*Answer, error)
	// rests lists all that both read of the product, so that what they found before can be taken where nothing of it has
	// changed: the inputs of the study for these promises, and whatever else is looked at. What a promise itself says, the
	// seed, and the product's name and variant need not be listed. nil: nothing is kept.
	rests func(s *session, asked []*product.Promise) []any
	// shows lists what the answer reads besides, and no judgement does; may be nil.
	shows func(s *session) []any
	// figures computes some of the answer's figures alone, and coarsely; nil: the answer is quick enough.
	figures func(ctx context.Context, s *session, asked []string) ([]Figure, error)
}

// studies in the order of the maker's questions. A new study enters here with what judges and
// answers; one without is not built yet, and a promise on it has no evidence.
var studies = []study{
	{"setpoint", "Does it stop at the right voltage?", judgeSetpoint, answerSetpoint, setpointRests, nil, figuresSetpoint},
	{"rating", "How much current can it carry?", judgeRating, answerRating, ratingRests, nil, figuresRating},
	{"fault", "What if it is wired wrongly?", judgeFault, answerFault, faultRests, faultShows, figuresFault},
	{"charge", "What does a year do to the battery?", judgeCharge, answerCharge, chargeRests, nil, figuresCharge},
	{"bench", "What did the bench say?", judgeBench, answerBench, benchRests, nil, nil},
	{"production", "What does one cost to make?", judgeProduction, answerProduction, productionRests, productionShows, figuresProduction},
	{"accounts", "Did it pay?", judgeAccounts, answerAccounts, accountsRests, nil, nil},
	{"returns", "How often does it come back?", judgeReturns, answerReturns, returnsRests, nil, nil},
}

func (s *study) built() bool { return s != nil && s.answer != nil }

// session is one computation on one product, and what was noted on the way.
type session struct {
	*common
	told *told
}

// told is what was noted, each once.
type told struct {
	mutex sync.Mutex
	notes []page.Note
}

// once returns what several promises compute together under a key; the first to come makes it, empty.
func once[T any](s *session, held map[string]*T, key string) *T {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	is := held[key]
	if is == nil {
		is = new(T)
		held[key] = is
	}
	return is
}

// apart is the session with notes of its own.
func (s *session) apart() *session { return &session{common: s.common, told: &told{}} }

// common is what several promises share, computed once.
type common struct {
	product *product.Product
	options Options

	setpoints sync.Once
	runs      map[string]*setpointRun // by the key of their settings

	ratings map[string]*ratingRun // by their conditions; the mutex guards it

	faults map[string]*faultRun // by their surroundings; likewise

	charges map[string]*chargeRun  // by installation; the mutex guards it
	bound   map[string]boundCharge // likewise

	returns returnsRun
	account accountsRun

	logs runsRead

	hashes map[string]*hashed // of what several promises rest on; the mutex guards it

	mutex sync.Mutex
}

// advise notes, once, something about a value of the folder that is not as it should be.
func (s *session) advise(at product.Leaf, text, remedy string) {
	s.note(page.Note{Text: at.Origin.String() + " " + text, Remedy: remedy, From: at.Origin.String()})
}

// note adds to the advice what is not in it yet.
func (s *session) note(notes ...page.Note) {
	s.told.mutex.Lock()
	defer s.told.mutex.Unlock()
	for _, n := range notes {
		if !slices.Contains(s.told.notes, n) {
			s.told.notes = append(s.told.notes, n)
		}
	}
}

// Options of a check or a study.
type Options struct {
	Seen func(Judged) // told of each promise as soon as it is judged, from several goroutines; may be nil
	// Sketch tells Seen first of what is kept, then of a coarse judgement of each promise that is not, see Judged.Coarse; Sifted, which
	// may be nil, is told between the two how many those are.
	Sketch bool
	Sifted func(left int)

	Seed         uint64
	Installation string      // "" : the product as its leaflet asks for it
	VerdictsOnly bool        // leaves out the pages
	Years        int         // of the charge study; 0: as many as it usually takes
	MeanYear     bool        // every year of the charge study meets the means of its months
	Depth        int         // of the fault study; 2: one mistake after another as well
	Kept         *kept.Store // nil: everything is computed
	Known        []Judged    // promises that are judged already, see Untouched: they are taken as they are

	coarse     int   // 0: in full; else the stage of a sketch, from 1
	units      fewer // of a coarse judgement
	unmeasured bool  // what was read on the bench is left out
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
