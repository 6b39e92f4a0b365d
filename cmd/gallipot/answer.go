package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/answer"
	"gallipot/dossier/edit"
	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/dossier/transcribe/paper"
	"gallipot/dossier/workshop"
)

// answerVerb reads the assessor's answer back.
func (c *command) answerVerb() *cobra.Command {
	var look bool
	signed := ""
	v := c.verb("answer FILE [PRODUCT]", func(args []string) error {
		if signed != "" {
			return c.signAnswer(signed, args)
		}
		return c.answer(args, look)
	})
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 2 || len(args) == 0 {
			return &usageError{"answer takes one file, and the product where the file does not name it",
				"gallipot answer heath-wash-part-b.docx"}
		}
		return nil
	}
	v.Flags().BoolVar(&look, "look", false, "say what was understood and write nothing")
	v.Flags().StringVar(&signed, "signed", "",
		"file this signed report as PDF for the answer on record of PRODUCT")
	v.Flags().StringVar(&c.out, "out", "", "folder for Part B in print; default: out in the workshop")
	return c.shared(v)
}

func (c *command) answer(args []string, look bool) error {
	w, opt, err := c.open()
	if w == nil || err != nil {
		return err
	}
	product := ""
	if len(args) == 2 {
		product = args[1]
	}
	out, err := c.outFolder()
	if err != nil {
		return err
	}
	files := paper.NewReader()
	defer files.Close()
	data, err := readSmall(args[0], files.Limits.Bytes)
	if err != nil {
		return err
	}
	reply, err := dossier.ReadReply(w, files, filepath.Base(args[0]), data, product, out, opt)
	if err != nil {
		return answerError(args[0], err)
	}
	if c.json {
		if len(reply.Reading.Refused) > 0 {
			c.exit = 1
		}
		return reply.WriteJSON(c.ui.Out)
	}
	c.printAnswer(args[0], reply)
	if len(reply.Reading.Refused) > 0 {
		c.exit = 1
		return nil
	}
	if look {
		fmt.Fprintln(c.ui.Err, "nothing was written: --look")
		return nil
	}
	return c.writeAnswer(w, out, reply)
}

// writeAnswer writes the record, the filed answer and Part B in print, all or none.
func (c *command) writeAnswer(w *workshop.Workshop, out string, reply *dossier.Reply) error {
	if err := errors.Join(store.MakeFolder(out), store.MakeFolder(filepath.Join(w.Dir,
		"evidence"))); err != nil {
		return err
	}
	if err := store.WriteFiles(reply.Files...); err != nil {
		return err
	}
	fmt.Fprintf(c.ui.Out, "recorded in %s under assessments; the answer is filed as %s\n",
		reply.Product.File(), reply.Filed)
	fmt.Fprintf(c.ui.Out, "for signature: %s\n", filepath.ToSlash(reply.Printed))
	return nil
}

// printAnswer says what was understood and what was not.
func (c *command) printAnswer(file string, reply *dossier.Reply) {
	r := reply.Reading
	if len(r.Refused) > 0 {
		fmt.Fprintf(c.ui.Out, "%s is refused and nothing was written:\n", filepath.ToSlash(file))
		for _, f := range r.Refused {
			c.printFault(f)
		}
		return
	}
	rec := r.Record
	fmt.Fprintf(c.ui.Out, "%s: answer for %s, figures %s\n", filepath.ToSlash(file), reply.Product.ID,
		rec.Fingerprint)
	line := func(what, text string) {
		if text != "" {
			fmt.Fprintf(c.ui.Out, "  %-14s %s\n", what, text)
		}
	}
	line("assessor", rec.Assessor)
	line("qualification", rec.Qualification)
	line("dated", rec.Dated.String())
	line("conclusion", rec.Conclusion)
	line("conditions", rec.Conditions)
	line("warnings", rec.Warnings)
	line("more warnings", rec.MoreWarnings)
	line("next review", rec.NextReview)
	for _, x := range rec.Variants {
		line("variant", dossier.SayValid(x))
	}
	for _, x := range rec.Markets {
		line("market", dossier.SayValid(x))
	}
	for _, j := range rec.Values {
		line("replaced", dossier.SayJudged(&j))
	}
	for _, x := range rec.Accepted {
		line("accepted", x.About+": "+x.Says)
	}
	for _, q := range rec.Replies {
		line("reply", q.Question+" "+q.Answer)
	}
	line("in words", terminal.Counted(len(rec.Statements), "statement"))
	for _, f := range r.Notes {
		c.printFault(f)
	}
}

func (c *command) printFault(f answer.Fault) {
	fmt.Fprintf(c.ui.Out, "  %s\n", f.Error())
	if fix := f.Fix(); fix != "" {
		fmt.Fprintf(c.ui.Out, "    fix: %s\n", fix)
	}
}

func answerError(file string, err error) error {
	var fault answer.Fault
	var trouble *paper.Trouble
	var refusal *edit.Refusal
	switch {
	case errors.As(err, &fault):
		return &usageError{filepath.ToSlash(file) + ": " + fault.Error(), fault.Fix()}
	case errors.As(err, &trouble):
		return &usageError{filepath.ToSlash(file) + ": " + trouble.Error(), trouble.Fix()}
	case errors.As(err, &refusal):
		return &usageError{"the record cannot be entered: " + refusal.Message(), refusal.Fix()}
	}
	return err
}

// readSmall reads a file that is not too large.
func readSmall(name string, most int) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, &usageError{"there is no file " + filepath.ToSlash(name), "check the name of the file"}
	}
	if info.Size() > int64(most) {
		t := &paper.Trouble{Code: "too-large", Value: fmt.Sprint(most)}
		return nil, &usageError{filepath.ToSlash(name) + ": " + t.Error(), t.Fix()}
	}
	return os.ReadFile(name)
}

// signAnswer files the signed report of an answer.
func (c *command) signAnswer(report string, args []string) error {
	if len(args) != 1 {
		return &usageError{"--signed takes the product alone",
			"gallipot answer heath-wash --signed report.pdf"}
	}
	w, _, err := c.open()
	if w == nil || err != nil {
		return err
	}
	p, _, err := c.pick(w, args[0])
	if err != nil {
		return err
	}
	data, err := readSmall(report, paper.NewReader().Limits.Bytes)
	if err != nil {
		return err
	}
	files, filed, err := dossier.SignReply(w, p, data)
	if err != nil {
		return answerError(report, err)
	}
	if err := store.MakeFolder(filepath.Join(w.Dir, "evidence")); err != nil {
		return err
	}
	if err := store.WriteFiles(files...); err != nil {
		return err
	}
	fmt.Fprintf(c.ui.Out, "the signed report is filed as %s with its hash, in %s under assessments\n", filed,
		p.File())
	return nil
}
