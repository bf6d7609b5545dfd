package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"

	"github.com/urfave/cli/v2"

	"stillbright/recommend"
	"stillbright/recommend/answer"
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
	rows, err := newRowReader(from, source, c.String("column"))
	if err != nil {
		return err
	}
	job := &listJob{
		env: env, from: from, style: style, rows: rows, replier: replier, progress: env.progress(size),
		summary: reply.Replies{Schema: "stillbright/replies/1", From: from, To: recommend.Word(to), Bad: []reply.BadRow{}},
	}
	if c.Bool("tally") {
		job.counter = reply.NewCounter(replier)
	}
	if to != "" {
		if job.out, err = openAnswers(to, settingsOf(c, b, env.Build, style)); err != nil {
			return err
		}
		if err := env.resume(job.out, from, c.String("column")); err != nil {
			return errors.Join(err, job.out.close())
		}
	}
	if err := job.run(c.Context); err != nil || c.Context.Err() != nil {
		return err // a cancelled list has said how it is gone on with
	}
	return job.report(c.Bool("json"))
}

// resume goes on with an interrupted run, if it was one of the same rows and
// settings.
func (env *Env) resume(out *answers, from, column string) error {
	if out.state.Rows == 0 {
		return nil
	}
	source, _, err := openList(from)
	if err != nil {
		return err
	}
	defer source.Close()
	rows, err := newRowReader(from, source, column)
	if err != nil {
		return err
	}
	same, err := out.goOn(rows)
	if err == nil && !same {
		fmt.Fprintln(env.Err, cleanLine(out.partName())+" is from other rows or settings: begun anew")
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
	if outputKind(to) == "" {
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

// listJob is a list on its way.
type listJob struct {
	env      *Env
	from     string
	style    string
	rows     *rowReader
	replier  *reply.Replier
	counter  *reply.Counter // nil without --tally
	out      *answers       // nil without --to
	progress *progressBar
	summary  reply.Replies
}

// mostBad is how many bad rows are named; all are counted.
const mostBad = 100

// run answers every row. Rows are answered by a few workers and written in their
// order; the queue between them is short, so that memory does not grow.
func (j *listJob) run(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	all := false
	queue := make(chan *answered, 2*runtime.GOMAXPROCS(0))
	work := make(chan *answered)
	for range runtime.GOMAXPROCS(0) {
		go func() {
			for a := range work {
				a.answer(j)
				close(a.done)
			}
		}()
	}
	var readErr error
	go func() {
		defer close(queue)
		defer close(work)
		for ctx.Err() == nil {
			r, err := j.rows.next()
			if err != nil {
				if !errors.Is(err, io.EOF) {
					readErr = err
				}
				return
			}
			a := &answered{row: r, done: make(chan struct{}), read: j.rows.lines.read}
			select {
			case queue <- a:
			case <-ctx.Done():
				return
			}
			if a.skip = !j.wants(); a.skip {
				close(a.done)
				continue
			}
			work <- a
		}
	}()
	err := j.collect(ctx, queue)
	all = ctx.Err() == nil
	stop()
	for a := range queue { // let the reader and the workers come to their end
		<-a.done
	}
	j.progress.end()
	if errors.Is(err, context.Canceled) {
		err = nil
	}
	return errors.Join(err, readErr, j.finish(all && err == nil && readErr == nil))
}

// answered is one row with its answer.
type answered struct {
	row   row
	reply reply.Reply
	done  chan struct{}
	read  int64 // bytes of the list read so far
	skip  bool  // an earlier run has written it
}

// wants says whether a row still has to be answered.
func (j *listJob) wants() bool { return j.out == nil || !j.out.skips() }

func (a *answered) answer(j *listJob) {
	if a.row.bad != "" || j.out == nil {
		return
	}
	a.reply = j.replier.Reply(a.row.question)
	a.reply.Answer = answer.ReplyText(&a.reply, j.style)
}

// collect takes the answers in the order of the rows.
func (j *listJob) collect(ctx context.Context, queue <-chan *answered) error {
	for a := range queue {
		select {
		case <-a.done:
		case <-ctx.Done():
			return ctx.Err()
		}
		j.summary.Rows++
		if a.row.bad != "" {
			j.bad(a.row)
		} else {
			j.summary.Answered++
		}
		if j.counter != nil {
			if a.row.bad != "" {
				j.counter.AddBad()
			} else {
				j.counter.Add(a.row.question)
			}
		}
		if a.skip {
			j.summary.Resumed++
		} else if j.out != nil {
			if err := j.out.write(j.from, a); err != nil {
				return err
			}
		}
		j.progress.show(a.read, j.summary.Rows)
	}
	return ctx.Err()
}

// bad names and counts a row that cannot be answered.
func (j *listJob) bad(r row) {
	j.summary.BadRows++
	if j.summary.BadRows > mostBad {
		return
	}
	b := reply.BadRow{At: fmt.Sprintf("%s:%d", j.from, r.line), Why: r.bad}
	j.summary.Bad = append(j.summary.Bad, b)
	j.progress.clear()
	fmt.Fprintln(j.env.Err, cleanLine(b.At+": "+b.Why))
	if j.summary.BadRows == mostBad {
		fmt.Fprintln(j.env.Err, "further bad rows are counted and not named")
	}
}

// finish gives the answers their name, or leaves them to be gone on with.
func (j *listJob) finish(whole bool) error {
	switch {
	case j.out == nil:
		return nil
	case whole:
		return j.out.done()
	}
	err := j.out.keep()
	if err == nil {
		fmt.Fprintf(j.env.Err, "stopped after %d rows; the same command goes on from there\n", j.out.state.Rows)
	}
	return err
}

// report says how the list went. A list without one answer is bad data.
func (j *listJob) report(asJSON bool) error {
	s := &j.summary
	if j.counter != nil {
		tally := j.counter.Tally()
		s.Tally = &tally
	}
	var err error
	switch {
	case asJSON && j.out == nil:
		err = j.env.printJSON(*s.Tally)
	case asJSON:
		err = j.env.printJSON(s)
	default:
		err = j.env.write(answer.Replies(s))
	}
	switch {
	case err != nil || s.Answered > 0:
		return err
	case s.Rows == 0:
		fmt.Fprintln(j.env.Err, cleanLine(j.from)+":1:1: there is no question in it")
	}
	return exitError(exitBadData)
}
