package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/urfave/cli/v2"

	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/list"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/reply"
)

// replyList answers a list of questions, row by row.
func (env *Env) replyList(c *cli.Context, style string) error {
	from, to := c.String("from"), c.String("to")
	if to == "" && !c.Bool("tally") {
		return usage("--from needs --to FILE, or --tally", "stillbright reply --from "+filepath.Base(from)+" --to answers.csv")
	}
	if to != "" {
		if err := checkTarget(from, to, c.Bool("force")); err != nil {
			return err
		}
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	replier, err := env.replier(c, b)
	if err != nil {
		return err
	}
	source, size, err := openList(from)
	if err != nil {
		return err
	}
	defer source.Close()
	rows, err := list.NewReader(from, source, c.String("column"))
	if err != nil {
		return err
	}
	job := &list.Job{
		Messages: env.Err, From: from, Style: style, Rows: rows, Replier: replier, Progress: list.NewProgress(env.Err, size),
		Summary: reply.Replies{Schema: "stillbright/replies/1", From: from, To: recommend.Word(to), Bad: []reply.BadRow{}},
	}
	if c.Bool("tally") {
		job.Counter = reply.NewCounter(replier)
	}
	if to != "" {
		if job.Out, err = list.Open(to, settingsOf(c, b, env.Build, style), func(name string, content []byte) error { return writeAtomically(name, content) }); err != nil {
			return err
		}
		if err := env.resume(job.Out, from, c.String("column")); err != nil {
			return errors.Join(err, job.Out.Close())
		}
	}
	if err := job.Run(c.Context); err != nil || c.Context.Err() != nil {
		return err // a cancelled list has said how it is gone on with
	}
	return env.reportList(job, c.Bool("json"))
}

// resume goes on with an interrupted run, if it was one of the same rows and
// settings.
func (env *Env) resume(out *list.Answers, from, column string) error {
	if out.State.Rows == 0 {
		return nil
	}
	source, _, err := openList(from)
	if err != nil {
		return err
	}
	defer source.Close()
	rows, err := list.NewReader(from, source, column)
	if err != nil {
		return err
	}
	same, err := out.GoOn(rows)
	if err == nil && !same {
		fmt.Fprintln(env.Err, plaintext.Clean(out.PartName())+" is from other rows or settings: begun anew")
	}
	return err
}

// openList opens the file with the questions.
func openList(name string) (*os.File, int64, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, 0, err
	}
	if info.IsDir() {
		return nil, 0, usage(name+" is a folder, not a file with questions", "")
	}
	file, err := os.Open(name)
	return file, info.Size(), err
}

// checkTarget refuses an ending that no answers are written for, the file of the
// questions itself, and one that is there: answers are read and changed by hand
// before they are sent.
func checkTarget(from, to string, force bool) error {
	if list.KindOf(to) == "" {
		return usage(fmt.Sprintf("--to %q: the name must end in .csv, .tsv or .jsonl", to), "--to answers.csv")
	}
	a, errA := os.Stat(from)
	b, errB := os.Stat(to)
	if errA == nil && errB == nil && os.SameFile(a, b) {
		return usage("--to is the file with the questions; it would be lost", "--to answers.csv")
	}
	if errB == nil && b.IsDir() {
		return usage(to+" is a folder", "--to "+filepath.Join(to, "answers.csv"))
	}
	if errB == nil && b.Size() > 0 && !force {
		return usage(to+" is there already, perhaps changed by hand", "give another name, or replace it: --force")
	}
	return nil
}

// report says how the list went. A list without one answer is bad data.
func (env *Env) reportList(j *list.Job, asJSON bool) error {
	s := &j.Summary
	if j.Counter != nil {
		tally := j.Counter.Tally()
		s.Tally = &tally
	}
	var err error
	switch {
	case asJSON && j.Out == nil:
		err = env.printJSON(*s.Tally)
	case asJSON:
		err = env.printJSON(s)
	default:
		err = env.write(answer.Replies(s))
	}
	switch {
	case err != nil || s.Answered > 0:
		return err
	case s.Rows == 0:
		fmt.Fprintln(env.Err, plaintext.Clean(j.From)+":1:1: there is no question in it")
	}
	return exitError(wrong.ExitBadData)
}
