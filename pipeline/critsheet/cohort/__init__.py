"""What a cohort is told: counted over an archive, without marks and without saying anything of a single student."""
