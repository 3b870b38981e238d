import type { ReactNode } from 'react'
import styles from './frame.module.css'

/** A sheet of paper on the bench: what a page is written on. */
export const Sheet = ({ children }: { children: ReactNode }) => <div className={styles.sheet}>{children}</div>
