// Package cmd holds the project's commands, one a folder. It has no code of its
// own; its test keeps the imports of all packages pointing downward.
package cmd
