package cli

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"hindwatt/internal/intake"
)

type importVerb struct {
	where
	File     string   `arg:"" help:"A CSV file or an .xlsx workbook, of any layout."`
	As       string   `required:"" placeholder:"KIND" help:"What its rows are: made, sold, returned, spent, hours, reading or bom."`
	Map      []string `sep:"none" placeholder:"COLUMN=HEADER" help:"Take this header for a column; COLUMN=@3 takes the third column. May be given again."`
	Without  []string `sep:"none" placeholder:"HEADER" help:"Drop this column. May be given again."`
	Harmless []string `sep:"none" placeholder:"HEADER" help:"This column looks personal and was looked through: it is not. May be given again."`
	Dates    string   `placeholder:"ORDER" help:"How days are written: dmy, mdy or ymd."`
	Decimal  string   `placeholder:"SIGN" help:"The decimal sign: \",\" or \".\"."`
	Currency string   `placeholder:"CODE" help:"Currency of amounts without one."`
	Unit     []string `sep:"none" placeholder:"COLUMN=UNIT" help:"Unit of numbers without one, such as time=h. May be given again."`
	Sheet    string   `placeholder:"NAME" help:"The sheet of a workbook that has several."`
	NoHeader bool     `help:"The first row is data; columns are named by --map COLUMN=@1."`
	SkipBad  bool     `help:"Leave out rows that are wrong and take the others."`
	Yes      bool     `help:"Write; without it, what would be done is shown, and asked for on a terminal."`
}

func (v *importVerb) Run(w *world) error {
	plan, err := intake.Prepare(v.In, v.File, intake.Options{
		Kind: v.As, Map: v.Map, Without: v.Without, Harmless: v.Harmless, Sheet: v.Sheet, NoHeader: v.NoHeader,
		Dates: v.Dates, Decimal: v.Decimal, Currency: v.Currency, Units: v.Unit, SkipBad: v.SkipBad,
	})
	if err != nil {
		return err
	}
	shown := plan.Page()
	if err := shown.Text(w.out, w.screen.width, w.screen.style); err != nil {
		return err
	}
	fresh, _, wrong := plan.Rows()
	switch {
	case wrong > 0 && !v.SkipBad:
		hint := "mend what is wrong"
		if fresh > 0 {
			hint += ", or take the others with --skip-bad"
		}
		return fmt.Errorf("%s: %s wrong, nothing was written; %s", v.File, counted(wrong, "row is", "rows are"), hint)
	case !plan.Ready():
		fmt.Fprintln(w.out, "\nNothing is to be written.")
		return nil
	case !v.Yes && !w.agreed():
		fmt.Fprintln(w.out, "\nNothing was written. To write it, give the same command with --yes.")
		return nil
	}
	done, err := plan.Write()
	if err != nil {
		return err
	}
	fresh, _, _ = plan.Rows() // fewer, if another process wrote meanwhile
	fmt.Fprintf(w.out, "\n%s written into %s.\n", counted(fresh, "row", "rows"), done.File)
	if done.Note != "" {
		fmt.Fprintln(w.err, "note: "+done.Note)
	}
	return nil
}

// counted is a number of things in words that agree with it.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// agreed asks on a terminal; anywhere else the answer is no.
func (w *world) agreed() bool { return w.agreedTo(w.out, "\nWrite this? [y/N] ") }

// agreedTo asks, if there is a terminal to answer from.
func (w *world) agreedTo(to io.Writer, question string) bool {
	file, ok := w.in.(*os.File)
	if !ok || !term.IsTerminal(int(file.Fd())) {
		return false
	}
	fmt.Fprint(to, question)
	answer, _ := bufio.NewReader(file).ReadString('\n')
	return strings.EqualFold(strings.TrimSpace(answer), "y")
}
