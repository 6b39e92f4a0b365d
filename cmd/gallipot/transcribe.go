package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"gallipot/calc/law"
	"gallipot/dossier/transcribe"
	"gallipot/dossier/transcribe/paper"
)

// transcribeVerb reads suppliers' papers and proposes what they say.
func (c *command) transcribeVerb() *cobra.Command {
	var formula formulaFlags
	v := c.verb("transcribe PAPER…", func(args []string) error {
		if formula.file != "" {
			return c.transcribeFormula(formula)
		}
		return c.transcribe(args)
	})
	formula.register(v)
	return c.shared(v)
}

func (c *command) transcribe(args []string) error {
	reader, err := transcribe.New(law.Builtin(), nil)
	if err != nil {
		return err
	}
	files := paper.NewReader()
	defer files.Close()
	for _, name := range args {
		data, err := os.ReadFile(name)
		if err != nil {
			return &usageError{err.Error(), "check the name of the file"}
		}
		f, err := files.Read(name, data)
		if err != nil {
			var t *paper.Trouble
			if errors.As(err, &t) {
				return &usageError{fmt.Sprintf("%s: %s", name, t.Error()), t.Fix()}
			}
			return err
		}
		out, err := json.MarshalIndent(reader.Read(f), "", " ")
		if err != nil {
			return err
		}
		fmt.Fprintln(c.ui.out, string(out))
	}
	return nil
}
