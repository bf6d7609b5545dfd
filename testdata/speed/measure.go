package main

import (
	"bytes"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"syscall"
	"time"
)

// contestant is one program of a comparison.
type contestant struct {
	args   []string
	env    []string               // beside the few that all get
	check  func(out string) error // of standard output
	before func() error           // run before each round, not measured
	rounds int                    // 0: as many as the others
	times  []time.Duration
	cpu    []time.Duration // of all processors
	memory int64           // most memory resident of any run, KB
}

// environment is all that a measured program sees.
func environment(folder string) []string {
	return []string{"PATH=/usr/local/bin:/usr/bin:/bin", "HOME=" + folder, "LANG=C.UTF-8", "STILLBRIGHT_TODAY=2026-11-25"}
}

// compare lets the contestants take turns. The first round warms up and is not
// counted.
func compare(folder string, rounds int, list []*contestant) error {
	for round := range rounds + 1 {
		for k := range list {
			c := list[(k+round)%len(list)]
			if c.rounds > 0 && (round == 0 || round > c.rounds) {
				continue
			}
			if err := c.run(folder, round > 0); err != nil {
				return err
			}
		}
	}
	return nil
}

func (c *contestant) run(folder string, counts bool) error {
	if c.before != nil {
		if err := c.before(); err != nil {
			return err
		}
	}
	command := exec.Command(c.args[0], c.args[1:]...)
	command.Env = append(environment(folder), c.env...)
	command.Dir = folder
	var out, problems bytes.Buffer
	command.Stdout, command.Stderr = &out, &problems
	start := time.Now()
	err := command.Run()
	took := time.Since(start)
	if err != nil {
		return fmt.Errorf("%s: %w\n%s%s", strings.Join(c.args, " "), err, out.String(), problems.String())
	}
	if problems.Len() > 0 {
		return fmt.Errorf("%s: wrote to standard error:\n%s", strings.Join(c.args, " "), problems.String())
	}
	if err := c.check(out.String()); err != nil {
		return fmt.Errorf("%s: %w; its output:\n%s", strings.Join(c.args, " "), err, out.String())
	}
	if counts {
		c.times = append(c.times, took)
		c.cpu = append(c.cpu, command.ProcessState.UserTime()+command.ProcessState.SystemTime())
		if usage, ok := command.ProcessState.SysUsage().(*syscall.Rusage); ok {
			c.memory = max(c.memory, usage.Maxrss)
		}
	}
	return nil
}

// median time in milliseconds.
func (c *contestant) median() float64 { return medianOf(c.times) }

// medianCPU is the time all processors together spent, which a busy machine
// stretches less.
func (c *contestant) medianCPU() float64 { return medianOf(c.cpu) }

func medianOf(times []time.Duration) float64 {
	sorted := slices.Sorted(slices.Values(times))
	n := len(sorted)
	return float64(sorted[(n-1)/2]+sorted[n/2]) / 2 / 1e6
}

func (c *contestant) megabytes() float64 { return float64(c.memory) / 1024 }

func silent(out string) error {
	if out != "" {
		return fmt.Errorf("it should print nothing")
	}
	return nil
}

// says wants the first line to name something.
func says(name string) func(string) error {
	return func(out string) error {
		if first, _, _ := strings.Cut(out, "\n"); !strings.Contains(first, name) {
			return fmt.Errorf("the first line should name %q", name)
		}
		return nil
	}
}

func begins(with string) func(string) error {
	return func(out string) error {
		if !strings.HasPrefix(out, with) {
			return fmt.Errorf("it should begin with %q", with)
		}
		return nil
	}
}
