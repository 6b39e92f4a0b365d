package main

import "github.com/spf13/cobra"

func (c *command) root() *cobra.Command {
	short, long, example := helpOf("gallipot")
	root := &cobra.Command{
		Use: "gallipot", Short: short, Long: long, Example: example,
		SilenceUsage: true, SilenceErrors: true,
		RunE: func(cmd *cobra.Command, args []string) error { return cmd.Help() },
	}
	root.CompletionOptions.HiddenDefaultCmd = true
	root.Args = func(_ *cobra.Command, args []string) error {
		if len(args) == 0 {
			return nil
		}
		return noVerb(root, args[0])
	}
	root.SetFlagErrorFunc(flagError)
	root.AddCommand(c.beginVerb(), c.demoVerb(), c.checkVerb(), c.figuresVerb(), c.labelVerb(),
		c.notificationVerb(), c.packVerb(), c.answerVerb(), c.weighVerb(), c.batchVerb(), c.traceVerb(),
		c.stabilityVerb(), c.calendarVerb(), c.lettersVerb(), c.decideVerb(), c.receiveVerb(), c.stockVerb(),
		c.costVerb(), c.compareVerb(), c.lawVerb(), c.serveVerb(), c.transcribeVerb(), c.benchVerb(),
		c.licencesVerb())
	root.AddCommand(topics()...)
	return root
}
