/** Changes with every change that can move a figure or a verdict; stored with each record. */
export const evaluationVersion = '1';
