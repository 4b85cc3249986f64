// Where everything is kept: a program has it in files, and there is nothing to say.

export const sayWhatIsKept = () => {};
