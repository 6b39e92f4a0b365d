package source

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"gallipot/ingredients/finding"
)

// maxDepth bounds nesting. The deepest place of our files, a share inside a
// slot inside a portion, is at depth 9.
const maxDepth = 32

// parse returns the one document of the file, or nil, and what stands in the
// way of reading it.
func (s *Source) parse() (*yaml.Node, []finding.Finding) {
	if s.parsed != nil {
		return s.parsed.root, slices.Clone(s.parsed.findings)
	}
	if len(s.Bytes) > MaxFileBytes {
		return nil, []finding.Finding{s.stop(CodeFileTooLarge, finding.Pos{File: s.Name}, "the file has %d bytes, the most that is read is %d", len(s.Bytes), MaxFileBytes).
			WithFix("check that this is a text file of yours; put attachments into evidence/")}
	}
	fs, ok := s.checkCharacters()
	if !ok {
		return nil, fs
	}
	dec := yaml.NewDecoder(bytes.NewReader(s.Bytes))
	root, err := decode(dec)
	if err == nil && len(root.Content) == 1 && root.Content[0].Tag == "!!null" {
		err = io.EOF
	}
	if errors.Is(err, io.EOF) {
		return nil, append(fs, s.stop(CodeUnreadableFile, finding.Pos{File: s.Name, Line: 1, Col: 1, Len: 1}, "the file is empty").
			WithFix("fill it in or delete it"))
	}
	if err == nil {
		var second *yaml.Node
		if second, err = decode(dec); err == nil {
			return nil, append(fs, s.stop(codeSecondDocument, finding.Pos{File: s.Name, Line: second.Line, Col: 1, Len: 3}, `a second "---" starts another document; what follows would be lost`).
				WithFix("move what follows into a file of its own, or delete this line"))
		}
	}
	if !errors.Is(err, io.EOF) {
		return nil, append(fs, s.syntax(err)...)
	}
	n := root.Content[0]
	fs = s.refuse(n, 1, fs)
	for _, f := range fs {
		if f.Code == codeTooDeep {
			return nil, fs
		}
	}
	return n, fs
}

// decode reads the next document. The parser panics on some broken texts; that
// is one more way for a text to be broken.
func decode(dec *yaml.Decoder) (n *yaml.Node, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("%v", r)
		}
	}()
	n = new(yaml.Node)
	err = dec.Decode(n)
	return n, err
}

// refuse reports the devices that make a value depend on another place: a
// reader who sees a line has to see its value.
func (s *Source) refuse(n *yaml.Node, depth int, fs []finding.Finding) []finding.Finding {
	if depth > maxDepth {
		return append(fs, s.stop(codeTooDeep, s.pos(n), "this is nested deeper than %d levels", maxDepth).
			WithFix("compare with the example in the manual; a bracket may be doubled"))
	}
	switch {
	case n.Kind == yaml.AliasNode:
		return append(fs, s.stop(codeAlias, s.pos(n), "%s refers to another place of the file", Quoted("*"+n.Value)).
			WithFix("write the values out; if the * is text, put quotes around it"))
	case n.Anchor != "":
		fs = append(fs, s.stop(codeAlias, s.pos(n), "%s is a mark for use in another place", Quoted("&"+n.Anchor)).
			WithFix("delete it and write the values out; if the & is text, put quotes around it"))
	case n.Style&yaml.TaggedStyle != 0:
		fs = append(fs, s.stop(codeAlias, s.pos(n), "a tag (%s) changes how the value is read", clip(n.Tag)).
			WithFix("delete the tag; if the ! is text, put quotes around it"))
	}
	for i, c := range n.Content {
		if n.Kind == yaml.MappingNode && i%2 == 0 && isMerge(c) {
			fs = append(fs, s.stop(codeAlias, s.pos(c), `"<<" copies keys from another place`).
				WithFix("write the keys out"))
		}
		fs = s.refuse(c, depth+1, fs)
	}
	return fs
}

func isMerge(key *yaml.Node) bool { return key.Kind == yaml.ScalarNode && key.Tag == "!!merge" }

var parserLine = regexp.MustCompile(`line (\d+): (.*)`)

// syntax says in plain words why a file does not parse. The parser's own
// message names a line that is often not the faulty one and no column, so the
// text is searched for the usual mistakes first.
func (s *Source) syntax(err error) []finding.Finding {
	if fs := lintText(s); len(fs) > 0 {
		return fs
	}
	line, text := 1, err.Error()
	if m := parserLine.FindStringSubmatch(text); m != nil {
		line, _ = strconv.Atoi(m[1])
		text = m[2]
		if strings.HasPrefix(text, "did not find expected") {
			line++ // the parser counts these from 0
		}
	}
	line = max(1, min(line, len(s.Lines)))
	pos := finding.Pos{File: s.Name, Line: line, Col: 1 + len(s.Line(line)) - len(strings.TrimLeft(s.Line(line), " "))}
	pos.Len = max(len([]rune(strings.TrimSpace(s.Line(line)))), 1)
	return []finding.Finding{s.stop(codeSyntax, pos, "quotes, brackets, colons or indentation do not fit together at this line or below it").
		WithFix("look for a quote or bracket that is not closed and for lines that do not line up; put quotes around text that holds a colon")}
}
