package figure

// EndCell is the worst end of one case.
type EndCell struct {
	End  FaultEnd
	None bool   // there is no such case, or no answer: Text says which
	Open bool   // the interval of the margin reaches a worse end
	Text string // what gives way: "q1, 3.1×"; may be empty
}

// EndsTable shows the worst end of each mistake (down) in each state (across).
type EndsTable struct {
	Title   string
	Rows    []string    // mistakes
	Columns []string    // states
	Cells   [][]EndCell // a row each; missing ones are empty
	Source  string      // input file and date, for the small line below; may be empty
}
