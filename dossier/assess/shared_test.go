package assess

import (
	"testing/fstest"
)

const workshopFile = "maker: {name: M, address: [A]}\nmarkets: [GB]\n"

func folder(files map[string]string) fstest.MapFS {
	m := fstest.MapFS{"workshop.yaml": {Data: []byte(workshopFile)}}
	for name, text := range files {
		m[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return m
}
