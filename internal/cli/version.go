package cli

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func (s *session) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "print the version",
		Long:    "Prints the version of the program, the revision of its source where known, and what it was built with.",
		Example: "  meltspan version\n",
		Args:    arguments(0, 0, "", `"meltspan version"`),
		RunE:    func(*cobra.Command, []string) error { return s.version() },
	}
}

func (s *session) version() error {
	info, _ := debug.ReadBuildInfo() // nil when built without modules
	_, err := fmt.Fprint(s.out, versionText(info))
	return err
}

func versionText(info *debug.BuildInfo) string {
	version, source := "unknown", ""
	if info != nil {
		if info.Main.Version != "" {
			version = info.Main.Version
		}
		settings := map[string]string{}
		for _, setting := range info.Settings {
			settings[setting.Key] = setting.Value
		}
		if revision := settings["vcs.revision"]; revision != "" {
			source = "source revision " + revision
			if settings["vcs.modified"] == "true" {
				source += ", changed since"
			}
			source += "\n"
		}
	}
	return fmt.Sprintf("meltspan %s\n%sbuilt with %s for %s/%s\n", version, source, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
