package lint

import (
	"fmt"
	"os"
	"os/exec"
)

// BuildsForBrowser compiles the packages that match pattern, in the module at
// root, to WebAssembly for a browser.
func BuildsForBrowser(root, pattern string) error {
	cmd := exec.Command("go", "build", pattern)
	cmd.Dir = root
	cmd.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "CGO_ENABLED=0")
	if output, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%s does not compile for the browser: %w\n%s", pattern, err, output)
	}
	return nil
}
