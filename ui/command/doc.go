// Package command is the one table of what a window can be asked to do. Menus,
// tools, context menus, the sheet of keys, hints and the box that finds an action
// are made from it, and all of them run a command through the one door that
// refuses what cannot be done now.
//
// In reading order: command.go (a command, and whether it can be run), table.go
// (all of them, and the door), keys.go (how keys are written), menu.go (menus),
// press.go (buttons).
package command
