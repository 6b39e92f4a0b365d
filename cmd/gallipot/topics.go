package main

import (
	"embed"
	"path"
	"strings"

	"github.com/spf13/cobra"
)

// topicTexts holds what "gallipot help TOPIC" prints, one file a topic; the first
// line is the short help.
//
//go:embed help/topics/*.txt
var topicTexts embed.FS

// topics are the subjects of help that are no verbs.
func topics() []*cobra.Command {
	entries, err := topicTexts.ReadDir("help/topics")
	if err != nil {
		panic(err) // embedded
	}
	var out []*cobra.Command
	for _, e := range entries {
		text, err := topicTexts.ReadFile(path.Join("help/topics", e.Name()))
		if err != nil {
			panic(err) // embedded
		}
		short, long, _ := strings.Cut(string(text), "\n")
		out = append(out, &cobra.Command{Use: strings.TrimSuffix(e.Name(), ".txt"), Short: short,
			Long: strings.Trim(long, "\n")})
	}
	return out
}
