// Command assets turns the front-end source in web/src into the files that the
// server embeds: each under a name that holds a hash of its content, beside a
// manifest.json that maps the plain name ("app.js") to it.
//
// Run it from the tools module: go -C tools run ./assets
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
)

// file is one thing to embed.
type file struct {
	Logical string // the name that templates ask for, such as "app.css"
	Name    string // the name on disk, with the hash, such as "app-K3FQ7XAB.css"
	Content []byte
}

// step makes some of the files from the repository at root.
type step struct {
	name string
	make func(root string) ([]file, error)
}

// steps is everything that is built, in order. A new kind of asset is one more
// line here and one more function.
var steps = []step{
	{"scripts and styles", bundle},
	{"kernel", kernel},
}

func main() {
	root := flag.String("root", "..", "the repository to build in")
	flag.Parse()
	if err := run(*root, filepath.Join(*root, "internal", "web", "static", "dist")); err != nil {
		fmt.Fprintln(os.Stderr, "assets:", err)
		os.Exit(1)
	}
}

func run(root, dist string) error {
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	var all []file
	for _, s := range steps {
		made, err := s.make(root)
		if err != nil {
			return fmt.Errorf("%s: %w", s.name, err)
		}
		all = append(all, made...)
	}
	if err := write(dist, all); err != nil {
		return err
	}
	for _, f := range all {
		fmt.Printf("%9d  %s\n", len(f.Content), f.Name)
	}
	return nil
}
