// Package list answers many questions: rows of a file read one by one, answers written
// in their order, and gone on with after a stop.
package list

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"

	"stillbright/recommend/answer"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/reply"
)

// Job is a list on its way.
type Job struct {
	Messages io.Writer // what is wrong with a row, and how to go on
	From     string
	Style    string
	Rows     *rowReader
	Replier  *reply.Replier
	Counter  *reply.Counter // nil without --tally
	Out      *Answers       // nil without --to
	Progress *progressBar
	Summary  reply.Replies
}

// mostBad is how many bad rows are named; all are counted.
const mostBad = 100

// Run answers every row. Rows are answered by a few workers and written in their
// order; the queue between them is short, so that memory does not grow.
func (j *Job) Run(ctx context.Context) error {
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
			r, err := j.Rows.next()
			if err != nil {
				if !errors.Is(err, io.EOF) {
					readErr = err
				}
				return
			}
			a := &answered{row: r, done: make(chan struct{}), read: j.Rows.lines.read}
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
	j.Progress.end()
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
func (j *Job) wants() bool { return j.Out == nil || !j.Out.skips() }

func (a *answered) answer(j *Job) {
	if a.row.bad != "" || j.Out == nil {
		return
	}
	a.reply = j.Replier.Reply(a.row.question)
	a.reply.Answer = answer.ReplyText(&a.reply, j.Style)
}

// collect takes the answers in the order of the rows.
func (j *Job) collect(ctx context.Context, queue <-chan *answered) error {
	for a := range queue {
		select {
		case <-a.done:
		case <-ctx.Done():
			return ctx.Err()
		}
		j.Summary.Rows++
		if a.row.bad != "" {
			j.bad(a.row)
		} else {
			j.Summary.Answered++
		}
		if j.Counter != nil {
			if a.row.bad != "" {
				j.Counter.AddBad()
			} else {
				j.Counter.Add(a.row.question)
			}
		}
		if a.skip {
			j.Summary.Resumed++
		} else if j.Out != nil {
			if err := j.Out.write(j.From, a); err != nil {
				return err
			}
		}
		j.Progress.show(a.read, j.Summary.Rows)
	}
	return ctx.Err()
}

// bad names and counts a row that cannot be answered.
func (j *Job) bad(r row) {
	j.Summary.BadRows++
	if j.Summary.BadRows > mostBad {
		return
	}
	b := reply.BadRow{At: fmt.Sprintf("%s:%d", j.From, r.line), Why: r.bad}
	j.Summary.Bad = append(j.Summary.Bad, b)
	j.Progress.clear()
	fmt.Fprintln(j.Messages, plaintext.Clean(b.At+": "+b.Why))
	if j.Summary.BadRows == mostBad {
		fmt.Fprintln(j.Messages, "further bad rows are counted and not named")
	}
}

// finish gives the answers their name, or leaves them to be gone on with.
func (j *Job) finish(whole bool) error {
	switch {
	case j.Out == nil:
		return nil
	case whole:
		return j.Out.done()
	}
	err := j.Out.keep()
	if err == nil {
		fmt.Fprintf(j.Messages, "stopped after %d rows; the same command goes on from there\n", j.Out.State.Rows)
	}
	return err
}
