package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"platewright/reckon"
)

func reckonCommand(g *reckon.Registry) *cobra.Command {
	var asJSON bool
	c := &cobra.Command{
		Use:   "reckon [NAME [key=value ...]]",
		Short: "computes: lists the reckonings, or answers one",
		Long: "Lists the reckonings, or answers questions to one of them.\n\n" +
			"  platewright reckon                      lists the reckonings\n" +
			"  platewright reckon NAME --help          shows its keys, units, ranges and an example\n" +
			"  platewright reckon NAME key=value ...   answers one question: a table on a terminal, else JSON\n" +
			"  platewright reckon NAME < in.jsonl      answers one question a line, in order, as JSON",
		Args: cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownWord(c, "reckoning", args[0])
			}
			return listReckonings(c.OutOrStdout(), g, asJSON)
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "print the list as JSON")
	for _, r := range g.All() {
		c.AddCommand(answerCommand(r))
	}
	return c
}

func listReckonings(w io.Writer, g *reckon.Registry, asJSON bool) error {
	if asJSON {
		list, err := json.Marshal(g.List())
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(w, "%s\n", list)
		return err
	}
	tw := tabwriter.NewWriter(w, 0, 0, 3, ' ', 0)
	for _, r := range g.All() {
		fmt.Fprintf(tw, "%s\t%s\n", r.Name, r.Title)
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	if _, person := terminal(w); !person {
		return nil
	}
	for _, r := range g.All() {
		for _, key := range slices.Sorted(maps.Keys(r.Names)) {
			_, err := fmt.Fprintf(w, "\n%s knows for %s\n  %s\n", r.Name, key, strings.Join(r.Names[key], "\n  "))
			if err != nil {
				return err
			}
		}
	}
	return nil
}

// answerCommand answers one reckoning: the words as one question, or standard input line by line.
func answerCommand(r *reckon.Reckoning) *cobra.Command {
	var as layout
	c := &cobra.Command{
		Use:   r.Name + " [key=value ...]",
		Short: r.Title,
		Args:  cobra.ArbitraryArgs,
		RunE: func(c *cobra.Command, args []string) error {
			switch {
			case as.json && as.table:
				return misused("choose one of them", "both --json and --table are given")
			case len(args) > 0:
				return answerWords(c, r, args, as)
			case as.table:
				return misused(c.CommandPath()+" key=value ... --table answers one", "--table is given for lines, which are answered as JSON")
			}
			return answerLines(c, r)
		},
	}
	c.Flags().BoolVar(&as.json, "json", false, "answer key=value as JSON, on a terminal too")
	c.Flags().BoolVar(&as.table, "table", false, "answer key=value as a table, when it goes to a file too")
	c.SetHelpFunc(func(c *cobra.Command, _ []string) {
		fmt.Fprint(c.OutOrStdout(), r.Help(), "\n", waysToAsk(c.CommandPath()))
	})
	return c
}

// layout is how an answer is wanted; with neither, a person at a terminal is given the table.
type layout struct{ json, table bool }

func waysToAsk(command string) string {
	return "Ways to ask\n" +
		"  " + command + " key=value ...\n" +
		"      one question: a table on a terminal, JSON to a file or another program\n" +
		"      --table or --json ask for one of the two; numbers may be written as .43, f/4.5\n" +
		"      and, where the key has a unit of length, time, warmth or volume, with a unit: 18in;\n" +
		"      a dot reaches into an object: pose.turn_deg=20, method.kind=...; a list has commas\n" +
		"      between, 4.5,5.6,8; any value may be JSON in quotation marks: points_mm='[[0,0,1500],...]'\n" +
		"  " + command + " < in.jsonl\n" +
		"      one question a line as a JSON object, one answer a line as JSON, in order\n"
}

// unanswered adds the hint where to read on; a refusal by a rule speaks for itself.
func unanswered(c *cobra.Command, r *reckon.Reckoning, err error) error {
	if status, _, _ := judge(err); status == RefusedByRule {
		return err
	}
	hint := c.CommandPath() + " --help lists the keys and what is allowed"
	var at *reckon.FieldError
	if errors.As(err, &at) && (strings.Contains(at.Message, " is wanted") || strings.Contains(at.Message, "in its list")) {
		if how := r.HowToWrite(at.Field); how != "" {
			hint = how + "\n" + hint
		}
	}
	return &misuse{err: err, hint: hint}
}

func answerWords(c *cobra.Command, r *reckon.Reckoning, words []string, as layout) error {
	question, err := r.FromPairs(words)
	if err != nil {
		return unanswered(c, r, err)
	}
	answer, err := r.Answer(question)
	if err != nil {
		return unanswered(c, r, err)
	}
	if _, person := terminal(c.OutOrStdout()); as.table || person && !as.json {
		return writeTable(c.OutOrStdout(), r, answer)
	}
	_, err = fmt.Fprintf(c.OutOrStdout(), "%s\n", answer)
	return err
}

func answerLines(c *cobra.Command, r *reckon.Reckoning) error {
	if _, person := terminal(c.InOrStdin()); person {
		say(c.ErrOrStderr(), "hint", strings.Join([]string{
			"type one question a line as a JSON object; the end of input ends it",
			c.CommandPath() + " --help lists the keys",
		}, "\n"))
	}
	lines := batch{status: RefusedByRule}
	finished := make(chan struct{})
	go func() { // reading cannot be broken off; when it is to stop, the process ends with it unread
		defer close(finished)
		lines.answer(c, r)
	}()
	select {
	case <-finished:
	case <-c.Context().Done():
		return c.Context().Err()
	}
	if lines.err == nil && lines.failed > 0 {
		return &errTold{status: lines.status}
	}
	return lines.err
}

// batch is what came of the questions of standard input.
type batch struct {
	status int // of the process, if any were not answered
	failed int
	err    error
}

func (b *batch) answer(c *cobra.Command, r *reckon.Reckoning) {
	b.failed, b.err = r.Lines(c.InOrStdin(), c.OutOrStdout(), func(line int, err error) {
		status, why, _ := judge(err)
		if status != RefusedByRule {
			b.status = Misused
		}
		say(c.ErrOrStderr(), "error", fmt.Sprintf("line %d: %s", line, why))
	})
}
