/** Whether the command runs as a process of its own, and may take more than one core of the computer. */
let isOwn = false;

/** Said where the process starts; within another program the command keeps to one thread. */
export const haveOwnProcess = (): void => void (isOwn = true);

export const hasOwnProcess = (): boolean => isOwn;
