package main

import (
	"fmt"

	"github.com/spf13/cobra"
)

// serveVerb answers who still types the name that the pages for reading had.
func (c *command) serveVerb() *cobra.Command {
	return &cobra.Command{
		Use: "serve", Hidden: true, DisableFlagParsing: true,
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintln(c.ui.Err, "serve is no longer a verb; type: gallipot bench --read-only")
			c.exit = exitUnreadable
			return nil
		},
	}
}
