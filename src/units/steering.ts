/** Signs that steer a terminal or a page instead of showing; tab and line ends are left to whoever sets the text. */
export const steering: RegExp = /(?![\t\n\r])[\p{Cc}\u202a-\u202e\u2066-\u2069]/u;

const everySteering = new RegExp(steering.source, 'gu');

/**
 * A text from outside (a file's header, a key, a stored value) as it may be shown: each sign that steers becomes a mark.
 * @example withoutSteering('P1\u001b[2J') // 'P1\ufffd[2J'
 */
export const withoutSteering = (text: string): string => text.replace(everySteering, '\ufffd');
